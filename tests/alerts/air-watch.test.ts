/**
 * A lid left open against a heater that stopped, told apart in the air alone. Truth: the simulated boxes, whose heat
 * flows know nothing of how lids are looked for.
 */
import { describe, expect, test } from 'vitest';
import { createAirWatch, hourMedianC, lastNearMs, watchAir } from '../../server/alerts/air-watch.ts';
import type { Scenario } from '../../simulators/scenario.ts';
import { openWorkshop } from '../../simulators/workshop.ts';

const HOUR_S = 3600;
const BOX: Omit<Scenario, 'seed'> = {
  name: 'falls',
  title: 'A box is opened, and another time switched off',
  story: 'Two hours of heat before each.',
  startsAt: '08:00',
  hours: 6,
  room: { meanTemperatureC: 21, meanRhPercent: 45 },
  boards: [{ board: 'dryer', everyMs: 2000, stations: ['box'] }],
  stations: [
    {
      id: 'box',
      role: 'drybox',
      sensors: ['t', 'rh'],
      box: {
        setTemperatureC: 75,
        airVolumeL: 12,
        ventLPerMin: 2,
        heatAtH: 0.05,
        heaterOffH: [[4, 6]],
        lidsH: [[2, 2.3]],
      },
    },
  ],
  spools: [
    {
      id: 'one',
      station: 'box',
      material: 'pa12',
      netMassG: 500,
      reel: 'plastic',
      reelMassG: 210,
      stored: 'room',
      storageRhPercent: 45,
      limitWtPercent: 0.1,
    },
  ],
  faults: [],
  events: [],
};

describe.each([2, 10, 30])('at a reading each %i s', (everyS) => {
  test('a lid is one, a heater that stopped is none, in twelve boxes', () => {
    let lids = 0;
    for (let seed = 1; seed <= 12; seed++) {
      const workshop = openWorkshop({ ...BOX, seed });
      const watch = createAirWatch();
      let openedInLid = false;
      for (let s = 0; s < 5 * HOUR_S; s += everyS) {
        workshop.moveTo(s);
        watchAir(watch, 1000 * s, workshop.read('box', s).values['t'] as number, true);
        if (watch.opening && s > 2 * HOUR_S && s < 2.1 * HOUR_S) openedInLid = true;
        const off = s > 4 * HOUR_S;
        if (off && watch.opening)
          throw new Error(
            `box ${seed}: heat lost taken for a lid at ${s} s ${JSON.stringify(watch.opening)}`,
          );
        // The thermostat's hunting and the warming up are none either.
        if (s < 2 * HOUR_S && watch.opening) throw new Error(`box ${seed}: a lid seen at ${s} s`);
      }
      if (openedInLid) lids++;
    }
    // A strong heater makes up for an open lid: then there is nothing to be told.
    expect(lids).toBeGreaterThanOrEqual(everyS > 10 ? 8 : 9);
  }, 120_000);
});

test('the hour’s median needs twenty minutes, and forgets what is older than an hour', () => {
  const watch = createAirWatch();
  const at = (minute: number): number => minute * 60_000;
  for (let minute = 0; minute < 19; minute++) watchAir(watch, at(minute), 70, true);
  expect(hourMedianC(watch, at(19))).toBeNull();
  for (let minute = 19; minute < 30; minute++) watchAir(watch, at(minute), 70 + minute / 100, true);
  expect(hourMedianC(watch, at(30))).toBe(70);
  for (let minute = 30; minute < 95; minute++) watchAir(watch, at(minute), 40, true);
  expect(hourMedianC(watch, at(95))).toBe(40);
  expect(lastNearMs(watch, 70)).toBeNull();
  expect(lastNearMs(watch, 40)).toBe(at(95));
  expect(watch.minutes.length).toBeLessThanOrEqual(60);
});
