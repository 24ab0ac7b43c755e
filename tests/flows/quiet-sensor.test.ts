import { expect, test } from 'vitest';
import { openFalseBench } from './false-bench.ts';

const BENCH =
  '[[station]]\nid="box"\nrole="drybox"\n[[station]]\nid="room"\nrole="room"\n[[spool]]\nid="gear"\nstation="box"\nmaterial="pa6"\nnet_mass_g=900\n';

test('one quiet board is one word for each of its stations, said once, and taken back when it speaks', () => {
  const bench = openFalseBench(BENCH);
  for (let i = 0; i < 20; i++) {
    bench.say('box', { t: 70, rh: 5 });
    bench.say('room', { t: 22, rh: 45 });
    bench.clock.advance(2000);
  }
  bench.clock.advance(3_600_000);
  const quiet = bench.told.filter(({ kind }) => kind === 'station-quiet');
  expect(quiet.map(({ station }) => station)).toEqual(['box', 'room']);
  // Three intervals of two seconds are less than the ten seconds that are never remarked on.
  for (const { atMs } of quiet)
    expect(atMs - (bench.station('box')?.heardMs as number)).toBeLessThanOrEqual(12_000);
  bench.view.flush();
  expect(bench.changes.at(-1)?.stations?.every((station) => station.quiet)).toBe(true);
  bench.say('box', { t: 68, rh: 5 });
  expect(bench.told.at(-1)).toMatchObject({ kind: 'station-heard', station: 'box' });
  expect(bench.station('box')?.quiet).toBe(false);
  expect(bench.station('room')?.quiet).toBe(true);
});

test('a sensor that fails while its board speaks is a named fault, not a quiet station and not a frozen number', () => {
  const bench = openFalseBench(BENCH);
  for (let i = 0; i < 120; i++) {
    if (i < 30) bench.say('box', { t: 70, rh: 5 });
    else bench.say('box', {}, { t: 'nack', rh: 'nack' });
    bench.clock.advance(2000);
  }
  const station = bench.station('box');
  expect(station).toMatchObject({ quiet: false, faults: { t: 'nack', rh: 'nack' } });
  expect(station?.counts).toMatchObject({ 'fault.t.nack': 90, 'fault.rh.nack': 90 });
  // What failed gives no air: nobody can take the last good minute for the present.
  expect(station?.air).toBeNull();
  expect(bench.kept.at(-1)?.atMs).toBeLessThan(bench.clock.now().wallMs - 170_000);
});
