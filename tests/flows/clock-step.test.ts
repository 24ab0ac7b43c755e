import { expect, test } from 'vitest';
import { openFalseBench } from './false-bench.ts';

const BENCH =
  '[[station]]\nid="box"\nrole="drybox"\n[[station]]\nid="room"\nrole="room"\n[[spool]]\nid="gear"\nstation="box"\nmaterial="pa6"\nnet_mass_g=900\nstored="room"\n';
const TWO_WEEKS_MS = 14 * 86_400_000;

const dry = (bench: ReturnType<typeof openFalseBench>, minutes: number): void => {
  for (let i = 0; i < minutes * 6; i++) {
    bench.say('box', { t: Math.min(80, 22 + i / 2), rh: Math.max(4, 45 - i / 3) });
    bench.say('room', { t: 22, rh: 45 });
    bench.clock.advance(10_000);
  }
};

for (const [way, stepMs] of [
  ['forward by two weeks (a board without a battery clock that found its time server)', TWO_WEEKS_MS],
  ['back by an hour', -3_600_000],
] as const)
  test(`a wall clock set ${way} moves the labels and never the run`, () => {
    const steady = openFalseBench(BENCH);
    const stepped = openFalseBench(BENCH);
    dry(steady, 60);
    dry(stepped, 60);
    stepped.clock.stepWall(stepMs);
    dry(steady, 30);
    dry(stepped, 30);

    expect(stepped.told.filter(({ kind }) => kind === 'clock-stepped')).toHaveLength(1);
    expect(stepped.told.filter(({ kind }) => kind === 'station-quiet')).toEqual([]);
    const [want, got] = [steady, stepped].map((bench) => bench.view.snapshot().spools[0]?.drying);
    expect(want?.runStartMs).not.toBeNull();
    expect(got?.moistureWtPercent).toEqual(want?.moistureWtPercent);
    expect(got?.state).toBe(want?.state);
    // The same moments, told by the clock as it now stands.
    expect(got?.runStartMs).toBe((want?.runStartMs as number) + stepMs);
    expect(got?.dryAtMs.p50).toBe(want?.dryAtMs.p50 == null ? null : want.dryAtMs.p50 + stepMs);
    expect(stepped.station('box')?.air?.airTemperatureC).toBeCloseTo(80, 6);
  });
