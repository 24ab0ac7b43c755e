import { describe, expect, it } from 'vitest';
import { createDryingTracker } from '../../../server/estimators/drying/tracker.ts';
import { drawDryingRun } from '../../../simulators/drying-draw.ts';
import { dryingSensors } from '../../../simulators/drying-sensors.ts';
import { setupOf } from '../../studies/start-run.ts';

const ASKED_H = 6;

/** Width of the band about the mean moisture, ln; the room heard until a time, h. */
function bandLn(roomUntilH: number): number {
  const run = drawDryingRun({ material: 'pa12', setTemperatureC: 80, seed: 31, lids: [], reel: 'plastic' });
  const sensors = dryingSensors(run);
  const tracker = createDryingTracker(setupOf(run), 0);
  for (let s = 60; s <= ASKED_H * 3600; s += 60) {
    const { t, rh, roomT, roomRh } = sensors.next(60);
    const atMs = s * 1000;
    tracker.observeBox({ atMs, airTemperatureC: t, relativeHumidityPercent: rh });
    if (s <= roomUntilH * 3600)
      tracker.observeRoom({ atMs, airTemperatureC: roomT, relativeHumidityPercent: roomRh });
  }
  const { moistureWtPercent } = tracker.advance(ASKED_H * 3600_000);
  return Math.log(moistureWtPercent.p95 / moistureWtPercent.p05);
}

describe('a room that nobody measures', () => {
  it('leaves more open than its mean: it wanders, and what it sends in is no witness of the spool', () => {
    const heard = bandLn(ASKED_H);
    // Without the wandering the two would be 1.12 and 0.97 times as wide.
    expect(bandLn(0)).toBeGreaterThan(1.15 * heard);
    expect(bandLn(2)).toBeGreaterThan(1.05 * heard);
  });
});
