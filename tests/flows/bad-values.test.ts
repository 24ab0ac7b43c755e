import { expect, test } from 'vitest';
import { openFalseBench } from './false-bench.ts';

const BENCH =
  '[[station]]\nid="box"\nrole="drybox"\n[[spool]]\nid="gear"\nstation="box"\nmaterial="pa6"\nnet_mass_g=900\n';

test('plausible-looking nonsense is kept and shown flagged, never used; the truth beside it is', () => {
  const bench = openFalseBench(BENCH);
  for (let i = 0; i < 30; i++) {
    bench.say('box', i % 3 === 0 ? { t: 70, rh: 127 } : i % 3 === 1 ? { t: -177, rh: 5 } : { t: 70, rh: 5 });
    bench.clock.advance(2000);
  }
  const station = bench.station('box');
  expect(station?.counts).toEqual({ 'flagged.rh': 10, 'flagged.t': 10 });
  // 70 °C and 5 %RH hold 9.85 g/m³ (IAPWS-95); neither −177 °C nor 127 %RH moved the minute's mean.
  expect(station?.air).toMatchObject({ airTemperatureC: 70, relativeHumidityPercent: 5 });
  expect(station?.air?.vapourDensityGPerM3).toBeCloseTo(9.85, 2);
  const flagged = bench.kept.filter(({ flagged: is }) => is).map(({ key, value }) => [key, value]);
  expect(flagged).toHaveLength(20);
  expect(flagged).toContainEqual(['rh', 127]);
  expect(flagged).toContainEqual(['t', -177]);
});

test('near saturation is not taken for nonsense just when it matters', () => {
  const bench = openFalseBench(BENCH);
  bench.say('box', { t: 24, rh: 101.4 });
  expect(bench.station('box')).toMatchObject({ flagged: [], air: { relativeHumidityPercent: 101.4 } });
});

test('eight ways in which a line can be wrong are eight named counts, each line captured as it came', () => {
  const bench = openFalseBench(BENCH);
  const lines = [
    'LD1 box 3f2a 1 1 t=70 *0000',
    'LD2 box 3f2a 1 1 t=70 *0000',
    'starting…'.replace('…', '...'),
    'LD1 box 3f2a 1 1 t=70',
    `LD1 box ${'x'.repeat(130)}`,
    'LD1 b\u0007x',
    '[{"n":"box/t","u":"K","v":300}]',
    '{"n":"box"',
  ];
  for (const line of lines) bench.hear(line);
  expect(bench.refused).toEqual([
    'crc',
    'version',
    'not-a-line',
    'no-checksum',
    'too-long',
    'bad-byte',
    'bad-value',
    'malformed',
  ]);
  expect(bench.captured).toEqual(lines);
  expect(bench.kept).toEqual([]);
});
