import { beforeAll, describe, expect, it } from 'vitest';
import { BEYOND } from '../../../server/estimators/drying/quantiles.ts';
import { createDryingTracker } from '../../../server/estimators/drying/tracker.ts';
import type { ChamberAhead } from '../../../server/estimators/soak/heat-up.ts';
import { chamberAhead } from '../../../server/estimators/soak/heat-up.ts';
import { createSoakState } from '../../../server/estimators/soak/state.ts';
import { startChances } from '../../../server/estimators/start/chances.ts';
import { checkStart, type StartFinding, type StartRequest } from '../../../server/estimators/start/check.ts';
import { lookAhead, type SpoolAhead } from '../../../server/estimators/start/spool-ahead.ts';
import { drawDryingRun } from '../../../simulators/drying-draw.ts';
import { dryingSensors } from '../../../simulators/drying-sensors.ts';
import { setupOf } from '../../studies/start-run.ts';

const ASKED_MS = 3 * 3600_000;
let spool: SpoolAhead;
let kept: SpoolAhead;

beforeAll(() => {
  const run = drawDryingRun({
    material: 'pa12',
    setTemperatureC: 80,
    seed: 4,
    lids: [],
    storageRhPercent: 45,
  });
  const sensors = dryingSensors(run);
  const setup = setupOf(run);
  const tracker = createDryingTracker(setup, 0);
  for (let s = 60; s * 1000 <= ASKED_MS; s += 60) {
    const { t, rh, roomT, roomRh } = sensors.next(60);
    tracker.observeBox({ atMs: s * 1000, airTemperatureC: t, relativeHumidityPercent: rh });
    tracker.observeRoom({ atMs: s * 1000, airTemperatureC: roomT, relativeHumidityPercent: roomRh });
  }
  tracker.advance(ASKED_MS);
  const looked = lookAhead(setup, tracker.save());
  const still = createDryingTracker(setup, 0);
  still.advance(600_000);
  const lookedStill = lookAhead(setup, still.save());
  if (!looked.ok || !lookedStill.ok) throw new Error('no estimate');
  spool = looked.ahead;
  kept = lookedStill.ahead;
});

const request = (given: Partial<StartRequest> = {}): StartRequest => ({
  atMs: ASKED_MS,
  grams: 150,
  hours: 6,
  chamberC: null,
  boxC: spool.boxC,
  exitOpen: false,
  tube: null,
  ...given,
});
const heating = (inH: number): ChamberAhead => ({
  basis: 'heating',
  steadyInS: Array.from({ length: 80 }, (_, i) => 3600 * inH * (0.8 + 0.2 * (i / 79))),
  fromMs: ASKED_MS,
  finalAirC: new Array<number>(80).fill(52),
});
const decides = (finding: StartFinding) => finding.reasons.find(({ kind }) => kind === 'decides');

describe('the start check', () => {
  it('more grams, a shorter job or more certainty never make the start earlier', () => {
    const at = (given: Partial<StartRequest>): number =>
      checkStart(spool, null, request(given)).earliestMs ?? Number.POSITIVE_INFINITY;
    expect(at({ grams: 400, hours: 6 })).toBeGreaterThanOrEqual(at({ grams: 100, hours: 6 }));
    expect(at({ hours: 2 })).toBeGreaterThanOrEqual(at({ hours: 20 }));
    expect(at({ sure: 0.95 })).toBeGreaterThanOrEqual(at({ sure: 0.9 }));
    expect(at({ sure: 0.9 })).toBeGreaterThan(at({ sure: 0.5 }));
  });

  it('states the first time that is sure enough: a little earlier is not', () => {
    const finding = checkStart(spool, null, request());
    expect(finding.outcome).toBe('start-later');
    const ready = finding.reasons.find((reason) => reason.kind === 'spool-ready');
    expect(ready).toMatchObject({ kind: 'spool-ready' });
    expect(ready!.kind === 'spool-ready' && ready!.probability).toBeGreaterThanOrEqual(0.9);
    expect(finding.ifNow!.pSpool).toBeLessThan(0.9);
    expect(finding.hoursToSpool).toBeCloseTo((finding.spoolReadyMs! - ASKED_MS) / 3600_000, 9);
  });

  it('is never surer than eighty draws can be: one worse than all of them may come', () => {
    // Of 81 exchangeable numbers each is the greatest with probability 1/81 (any text on order statistics).
    const easy = { ...spool, setup: { ...spool.setup, limitWtPercent: 5 } };
    expect(checkStart(easy, null, request()).ifNow!.pSpool).toBeCloseTo(80 / 81, 12);
    expect(checkStart(easy, null, request({ sure: 0.999 })).outcome).toBe('start-now');
    const { reasons } = checkStart(spool, null, request({ sure: 0.95 }));
    const said = reasons.flatMap((reason) => (reason.kind === 'spool-ready' ? [reason.probability] : []));
    // 76 of 80 would be 0.95 as a plain share; of 81 it takes 77.
    expect(said).toHaveLength(1);
    expect(said[0]! * 81).toBeGreaterThan(76.9);
  });

  it('says what starting now would cost: grams too wet between none and all, most for the longest job', () => {
    const { ifNow } = checkStart(spool, null, request());
    expect(ifNow!.tooWetG.p50).toBeGreaterThan(0);
    expect(ifNow!.tooWetG.p95).toBeLessThanOrEqual(150 + 1e-9);
    expect(ifNow!.wettestWtPercent.p50).toBeGreaterThan(spool.setup.limitWtPercent);
    expect(ifNow!.pChamber).toBeNull();
  });

  it('the spool decides: the bed may come on so much later', () => {
    const off: ChamberAhead = { ...heating(2), basis: 'earlier-heat-up' };
    const finding = checkStart(spool, off, request());
    const spoolMs = checkStart(spool, null, request()).earliestMs!;
    expect(finding.earliestMs).toBe(spoolMs);
    expect(decides(finding)).toMatchObject({ what: 'spool' });
    // Nine in ten of the draws' evenly spread times: 0.8 + 0.2·0.9 of two hours.
    const soakMs = 2 * 3600_000 * 0.98;
    expect(finding.bedOnByMs).toBeCloseTo(spoolMs - soakMs, -3);
    expect(decides(finding)).toMatchObject({
      otherEarlierMin: expect.closeTo((spoolMs - ASKED_MS - soakMs) / 60_000, 3),
    });
    expect(finding.ifNow!.pChamber).toBe(0);
  });

  it('the chamber decides where it takes longer, and a heated one needs no switching on', () => {
    const finding = checkStart(spool, heating(100), request());
    expect(decides(finding)).toMatchObject({ what: 'chamber' });
    expect(finding.earliestMs).toBe(finding.chamberReadyMs);
    expect(finding.bedOnByMs).toBeNull();
  });

  it('names a chamber that never gets steady, or ends elsewhere than the job wants it', () => {
    const never: ChamberAhead = { ...heating(2), steadyInS: new Array<number>(80).fill(BEYOND) };
    expect(checkStart(spool, never, request()).outcome).toBe('chamber-beyond');
    expect(checkStart(spool, heating(2), request({ chamberC: 70 })).outcome).toBe('chamber-off-target');
    expect(checkStart(spool, heating(2), request({ chamberC: 50 })).earliestMs).not.toBeNull();
  });

  it('a limit below the floor is never reached, a very high one at once', () => {
    const limited = (limitWtPercent: number): SpoolAhead => ({
      ...spool,
      setup: { ...spool.setup, limitWtPercent },
    });
    expect(checkStart(limited(0.0005), null, request()).outcome).toBe('spool-never');
    const now = checkStart(limited(5), null, request());
    expect(now.outcome).toBe('start-now');
    expect(now.earliestMs).toBe(ASKED_MS);
    expect(now.ifNow!.tooWetG.p95).toBe(0);
  });

  it('refuses by name: too little filament, nonsense, a spool that is not being dried', () => {
    expect(checkStart(spool, null, request({ grams: 2000 })).outcome).toBe('not-enough-filament');
    for (const wrong of [{ grams: 0 }, { grams: Number.NaN }, { hours: -1 }, { sure: 1 }])
      expect(checkStart(spool, null, request(wrong)).outcome).toBe('bad-request');
    expect(checkStart(kept, null, request({ boxC: null })).outcome).toBe('spool-not-drying');
  });

  it('names the box temperature that it assumes where it is lower than the present one, and only there', () => {
    const assumed = (given: Partial<StartRequest>, of = spool) =>
      checkStart(of, null, request(given)).reasons.find(({ kind }) => kind === 'box-assumed');
    expect(spool.boxC).toBeGreaterThan(70);
    expect(assumed({ boxC: null })).toEqual({ kind: 'box-assumed', assumedC: 60, presentC: spool.boxC });
    expect(assumed({ boxC: 60 })).toBeUndefined();
    expect(assumed({ boxC: null }, { ...spool, boxC: 55 })).toBeUndefined();
    expect(assumed({ boxC: null }, kept)).toBeUndefined();
  });

  it('purges what stood in an undried tube: length times section times density', () => {
    const tube = { lengthM: 0.8, dry: false, standingMin: 30 };
    const { purgeG } = checkStart(spool, null, request({ tube })).ifNow!;
    // 0.8 m of 1.75 mm: 1.924 cm³ at the polymer's 1.01–1.02 g/cm³.
    expect(purgeG).toBeGreaterThan(1.92);
    expect(purgeG).toBeLessThan(1.99);
    for (const dry of [
      { ...tube, dry: true },
      { ...tube, standingMin: 15 },
    ])
      expect(checkStart(spool, null, request({ tube: dry })).ifNow!.purgeG).toBe(0);
  });

  it('a cooler box and twice the vent change the answer, and asking again does not', () => {
    // A whole spool over forty hours: its last turns leave long after the start.
    const long = { grams: 0.95 * spool.setup.netMassG, hours: 40 };
    const first = checkStart(spool, null, request(long));
    expect(checkStart(spool, null, request(long))).toEqual(first);
    for (const other of [{ boxC: 40 }, { exitOpen: true }])
      expect(checkStart(spool, null, request({ ...long, ...other })).ifNow!.tooWetG).not.toEqual(
        first.ifNow!.tooWetG,
      );
  });
});

describe('filament that jobs took', () => {
  it('a job after another begins where that one left off: wetter turns, a later start', () => {
    const whole = checkStart(spool, null, request());
    const begun = checkStart(spool, null, request({ takenG: 200 }));
    expect(begun.ifNow!.wettestWtPercent.p50).toBeGreaterThan(whole.ifNow!.wettestWtPercent.p50);
    expect(begun.ifNow!.pSpool).toBeLessThanOrEqual(whole.ifNow!.pSpool);
    expect(begun.earliestMs!).toBeGreaterThan(whole.earliestMs!);
    expect(begun.reasons).toContainEqual({ kind: 'filament-taken', takenG: 200 });
    expect(whole.reasons.map(({ kind }) => kind)).not.toContain('filament-taken');
  });

  it('150 g of a job after 150 g are the inner half of one of 300 g: no drier, no wetter', () => {
    // In the same box at the same time, with no time to dry on: what is fed is what lies there.
    const at = (given: Partial<StartRequest>) => checkStart(spool, null, request({ hours: 0.01, ...given }));
    const [both, second] = [at({ grams: 300 }), at({ grams: 150, takenG: 150 })];
    expect(second.ifNow!.wettestWtPercent.p50).toBeCloseTo(both.ifNow!.wettestWtPercent.p50, 4);
    const first = at({ grams: 150 });
    expect(first.ifNow!.tooWetG.p50 + second.ifNow!.tooWetG.p50).toBeGreaterThan(
      0.9 * both.ifNow!.tooWetG.p50,
    );
  });

  it('what is gone cannot be printed again', () => {
    const { netMassG } = spool.setup;
    const finding = checkStart(spool, null, request({ takenG: netMassG - 100 }));
    expect(finding.outcome).toBe('not-enough-filament');
    expect(finding.reasons[0]).toMatchObject({ kind: 'spool-short', hasG: 100, needsG: 150 });
  });
});

describe('the chance of each start', () => {
  const chanceAt = (given: Partial<StartRequest>, chamber: ChamberAhead | null = null) => {
    const found = startChances(spool, chamber, request(given));
    if (!found) throw new Error('it is a job');
    return found;
  };

  it('begins with that of starting now, covers a day, and reaches what was asked for where the check says so', () => {
    const finding = checkStart(spool, null, request());
    const { chances, bedOn } = chanceAt({});
    expect(bedOn).toBe(true);
    // The estimate is carried on from its last refit to now: minutes at most.
    expect(chances[0]!.atMs).toBe(ASKED_MS);
    expect(chances[0]!.pSpool).toBeCloseTo(finding.ifNow!.pSpool, 1);
    expect(chances.at(-1)!.atMs - ASKED_MS).toBeGreaterThanOrEqual(24 * 3600_000);
    expect(chances.at(-1)!.atMs).toBeGreaterThanOrEqual(finding.earliestMs!);
    const before = chances.filter(({ atMs }) => atMs < finding.earliestMs!);
    const after = chances.filter(({ atMs }) => atMs >= finding.earliestMs!);
    expect(before.every(({ pSpool }) => pSpool < 0.9)).toBe(true);
    expect(after.length === 0 || after[0]!.pSpool >= 0.9).toBe(true);
    expect(chances.every(({ pChamber }) => pChamber === null)).toBe(true);
  });

  it('goes on beyond a day where the job is not sure enough by then, to three days at most', () => {
    // Nearly the whole spool: its innermost turns take longest.
    const long = { grams: 0.98 * spool.setup.netMassG, hours: 8 };
    const finding = checkStart(spool, null, request(long));
    const { chances } = chanceAt(long);
    const lastMs = chances.at(-1)!.atMs;
    expect(lastMs).toBeGreaterThanOrEqual(
      Math.min(finding.earliestMs ?? Number.POSITIVE_INFINITY, ASKED_MS + 66 * 3600_000),
    );
    expect(lastMs - ASKED_MS).toBeLessThanOrEqual(72 * 3600_000);
  });

  it('stands close where it changes fast', () => {
    const { chances } = chanceAt({});
    for (let i = 1; i < chances.length; i++) {
      const [a, b] = [chances[i - 1]!, chances[i]!];
      expect(Math.abs(a.pSpool - b.pSpool) <= 0.1 || b.atMs - a.atMs <= 1_800_000).toBe(true);
    }
  });

  it('a heated chamber is steady by its own draws; a cold one as if its bed came on now', () => {
    // Draws evenly from 1.6 to 2 h: half of them by 1.8 h.
    const hot = chanceAt({}, heating(2));
    const at = (found: typeof hot, h: number) =>
      found.chances.find(({ atMs }) => atMs === ASKED_MS + h * 3600_000)?.pChamber;
    expect(at(hot, 0)).toBe(0);
    expect(at(hot, 2)).toBe(1);
    const later = { ...heating(2), fromMs: ASKED_MS - 0.2 * 3600_000 };
    expect(chanceAt({}, later).chances.find(({ atMs }) => atMs > ASKED_MS + 1.3 * 3600_000)!.pChamber).toBe(
      at(chanceAt({}, later), 1.5),
    );
    const cold = chanceAt({}, { ...heating(2), basis: 'prior', fromMs: ASKED_MS });
    expect(cold.bedOn).toBe(false);
    expect(at(cold, 0)).toBe(0);
    expect(at(cold, 2)).toBe(1);
  });

  it('a spool that nothing dries has one chance all day, and nonsense has none', () => {
    const found = startChances(kept, null, request({ boxC: null }));
    expect(new Set(found!.chances.map(({ pSpool }) => pSpool)).size).toBe(1);
    expect(startChances(spool, null, request({ grams: -1 }))).toBeNull();
    expect(startChances(spool, null, request({ takenG: spool.setup.netMassG }))).toBeNull();
  });
});

describe('a chamber that is cold', () => {
  it('is expected to take one to eight hours by what chambers are like', () => {
    const ahead = chamberAhead(
      { station: 'rig', readyBandC: 1, readyDriftCPer10Min: 0.5 },
      createSoakState(0),
      0,
    );
    const sorted = [...ahead.steadyInS].sort((a, b) => a - b);
    expect(ahead.basis).toBe('prior');
    expect(ahead.finalAirC).toBeNull();
    expect(sorted[40]!).toBeGreaterThan(2 * 3600);
    expect(sorted[40]!).toBeLessThan(8 * 3600);
    expect(sorted[4]!).toBeLessThan(sorted[75]!);
  });
});
