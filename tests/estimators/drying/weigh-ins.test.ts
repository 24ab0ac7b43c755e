import { expect, test } from 'vitest';
import { createDryingTracker } from '../../../server/estimators/drying/tracker.ts';
import { findMaterial } from '../../../server/physics/materials.ts';
import { saturationPressurePa } from '../../../server/physics/saturation.ts';

const START = Date.UTC(2026, 2, 2, 7, 0, 0);
const H = 3600;
const at = (s: number): number => START + 1000 * s;

function begin() {
  const found = findMaterial('pa6');
  if (!found.ok) throw new Error(found.detail);
  return createDryingTracker(
    {
      station: 'box',
      spool: 'gear',
      material: found.material,
      limitWtPercent: 0.2,
      netMassG: 1000,
      diameterMm: 1.75,
      reel: 'plastic',
      reelMassG: 210,
      stored: 'room',
      storedRhPercent: null,
      role: 'drybox',
      airVolumeL: null,
      airSupply: null,
      companions: 0,
      rhTolerancePercent: 1.8,
      temperatureToleranceC: 0.2,
    },
    START,
  );
}

/** A day in a box, made by hand: cold, heated from half an hour on, a fading excess over the room's vapour. */
function feed(tracker: ReturnType<typeof begin>, fromS: number, toS: number): void {
  for (let s = fromS; s <= toS; s += 60) {
    const airC = s < 1800 ? 22 : 22 + 58 * (1 - Math.exp(-(s - 1800) / 700));
    const excess = s < 1800 ? 0 : 900 * (1 - Math.exp(-(s - 1800) / 1500)) * Math.exp(-(s - 1800) / 40_000);
    const vapour = 0.45 * saturationPressurePa(22) + excess;
    if (s % 300 === 0) tracker.observeRoom({ atMs: at(s), airTemperatureC: 22, relativeHumidityPercent: 45 });
    tracker.observeBox({
      atMs: at(s),
      airTemperatureC: airC,
      relativeHumidityPercent: (100 * vapour) / saturationPressurePa(airC),
    });
    if (s % 600 === 0) tracker.advance(at(s));
  }
}

test('one weigh-in says nothing, whatever it is: only what has changed since informs', () => {
  const never = begin();
  const once = begin();
  feed(never, 0, 3 * H);
  feed(once, 0, 2 * H);
  once.event({ kind: 'weigh-in', atMs: at(2 * H + 5), massG: 1172, resolutionG: 1 });
  feed(once, 2 * H + 60, 3 * H);
  expect(once.advance(at(3 * H)).moistureWtPercent).toEqual(never.advance(at(3 * H)).moistureWtPercent);
});

test('a weigh-in taken back counts no more: the next fit is that of a run that never had it', () => {
  const never = begin();
  const wrong = begin();
  for (const tracker of [never, wrong]) {
    feed(tracker, 0, 4 * H);
    tracker.event({ kind: 'weigh-in', atMs: at(1 * H), massG: 1232, resolutionG: 1 });
    feed(tracker, 4 * H + 60, 5 * H);
  }
  // Sixty grams of water gone: a figure of another spool.
  wrong.event({ kind: 'weigh-in', atMs: at(5 * H + 5), massG: 1172, resolutionG: 1 });
  expect(wrong.weighIns()).toBe(2);
  feed(wrong, 5 * H + 60, 6 * H);
  feed(never, 5 * H + 60, 6 * H);
  const misled = wrong.advance(at(6 * H)).moistureWtPercent;
  const clean = never.advance(at(6 * H)).moistureWtPercent;
  // Sixty grams of a kilogram are 6 wt %: the run is fitted to have lost them.
  expect(Math.abs(misled.p50 - clean.p50)).toBeGreaterThan(0.15 * clean.p50);

  wrong.event({ kind: 'weigh-in-undone', atMs: at(6 * H + 5) });
  expect(wrong.weighIns()).toBe(1);
  feed(wrong, 6 * H + 60, 8 * H);
  feed(never, 6 * H + 60, 8 * H);
  const mended = wrong.advance(at(8 * H)).moistureWtPercent;
  const truth = never.advance(at(8 * H)).moistureWtPercent;
  // A fit begins where the last one ended, so the two meet to what a fit is carried to.
  for (const name of ['p05', 'p50', 'p95'] as const)
    expect(Math.abs(mended[name] / truth[name] - 1), name).toBeLessThan(0.02);
});

test('what is taken back is the latest, and it survives being written down', () => {
  const tracker = begin();
  feed(tracker, 0, 2 * H);
  for (const [s, massG] of [
    [2 * H + 1, 1230],
    [2 * H + 2, 1229],
  ] as const)
    tracker.event({ kind: 'weigh-in', atMs: at(s), massG, resolutionG: 1 });
  tracker.event({ kind: 'weigh-in-undone', atMs: at(2 * H + 3) });
  const { weighIns, run } = tracker.save();
  expect(weighIns.map(({ massG }) => massG)).toEqual([1230]);
  expect(run?.weighIns.map(({ massG }) => massG)).toEqual([1230]);
});
