/**
 * What a lid does to the answer: hardly anything. The simulated spool, box and lids are a separate, finer truth; the same spool is
 * watched with and without its lid, so that the difference is the lid's alone.
 */
import { describe, expect, it } from 'vitest';
import {
  closeCellsUntil,
  createHistory,
  type History,
  markLid,
} from '../../../server/estimators/drying/history.ts';
import { takeBox } from '../../../server/estimators/drying/intake.ts';
import { createDryingTracker } from '../../../server/estimators/drying/tracker.ts';
import { DRYING_CASES, recordRun } from '../../studies/drying-record.ts';
import { setupOf, WAYS } from '../../studies/drying-trial.ts';

const plain = WAYS.find(({ name }) => name === 'T/RH')!;

/** Median moisture that is said at `untilH` of a seeded spool, humidity rounded to `stepPercent`. */
function said(caseName: string, seed: number, lidAtH: number | null, untilH: number, stepPercent = 0.01) {
  const which = DRYING_CASES.find(({ name }) => name === caseName)!;
  const lids = lidAtH === null ? [] : [{ fromS: 3600 * lidAtH, toS: 3600 * lidAtH + 40 }];
  const record = recordRun(which, seed, { truth: { lids }, longestH: untilH });
  const startMs = Date.UTC(2026, 4, 4, 6, 0, 0);
  const tracker = createDryingTracker(setupOf(record, plain), startMs);
  for (const { elapsedS, t, rh, roomT, roomRh } of record.readings) {
    const atMs = startMs + 1000 * elapsedS;
    tracker.observeRoom({ atMs, airTemperatureC: roomT, relativeHumidityPercent: roomRh });
    const rounded = stepPercent * Math.round(rh / stepPercent);
    tracker.observeBox({ atMs, airTemperatureC: t, relativeHumidityPercent: rounded });
  }
  return tracker.advance(startMs + 3600_000 * untilH).moistureWtPercent;
}

describe('a lid opened for forty seconds', () => {
  it.each([
    ['pa6 70', 355, 5.12],
    ['pa12 80', 302, 4.62],
  ])('moves what is said of %s by less than a tenth, two hours later', (name, seed, lidAtH) => {
    const shut = said(name, seed, null, lidAtH + 2);
    const opened = said(name, seed, lidAtH, lidAtH + 2);
    expect(Math.abs(Math.log(opened.p50 / shut.p50))).toBeLessThan(0.1);
  });
});

describe('the grid at a lid', () => {
  const read = (history: History, s: number, airTemperatureC: number): void => {
    closeCellsUntil(history, s - 1e-6);
    takeBox(history, { atMs: 0, airTemperatureC, relativeHumidityPercent: 5 });
  };

  it('leaves what was read before it in the time before it', () => {
    const history = createHistory();
    for (let s = 10; s <= 18_500; s += 10) read(history, s, 70);
    markLid(history, 18_500, 20);
    for (let s = 18_510; s <= 19_300; s += 10) read(history, s, 60);
    const { endS, airC, lidS } = history.cells;
    const cell = endS.findIndex((end) => end > 18_500);
    expect(endS[cell - 1]).toBe(18_500);
    expect(airC[cell - 1]).toBe(70);
    expect(airC[cell]).toBe(60);
    expect(lidS.indexOf(20)).toBe(cell);
    // Minutes follow, each with readings of its own.
    expect(endS.slice(cell, cell + 3)).toEqual([18_540, 18_600, 18_660]);
    expect(airC.slice(cell).every((c) => c === 60)).toBe(true);
  });
});

describe('a sensor that rounds to whole per cent', () => {
  it('is trusted less, not more', () => {
    const fine = said('pa6 70', 355, null, 5);
    const coarse = said('pa6 70', 355, null, 5, 1);
    expect(coarse.p95 / coarse.p05).toBeGreaterThan(fine.p95 / fine.p05);
    expect(coarse.p05).toBeLessThan(fine.p50);
    expect(coarse.p95).toBeGreaterThan(fine.p50);
  });
});
