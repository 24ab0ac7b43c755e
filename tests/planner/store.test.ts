import { describe, expect, it } from 'vitest';
import { meanMoisture, shapeKernel } from '../../server/estimators/drying/model.ts';
import { reducedSaturationGPerM3 } from '../../server/estimators/drying/thermal-table.ts';
import { createPaths } from '../../server/planner/curve.ts';
import { beginState, createMembers, fitToRoom, materialOf, startAt } from '../../server/planner/members.ts';
import { isothermOf, keep, planStore, testRateOf } from '../../server/planner/store.ts';
import { ask } from './ask.ts';

const store = (raw: Record<string, unknown>) => planStore(ask('store', raw));
const DAY_S = 86_400;

describe('a spool in a bag', () => {
  it('lets in what J-STD-033’s own formula says, at the conditions of the test', () => {
    // J-STD-033: units = 0.304·M·WVTR·A/D, with M months, WVTR g/(100 in²·day), A in², D g a unit; so water let in over
    // M months is 0.304·M·WVTR·A. Biosystems Engineering, table 11.2: LDPE of 1 mil, 1–2 g/(100 in²·day).
    const [low, high] = testRateOf('ldpe', 25.4);
    expect(low).toBeCloseTo(15.5, 1);
    expect(high).toBeCloseTo(31, 1);
    const areaM2 = 0.2;
    const areaIn2 = areaM2 / 0.00064516;
    const { inflowGPerDay } = store({ thicknessUm: 25.4, bagAreaM2: areaM2, roomC: 37.8, roomRhPercent: 90 });
    const perMonthG = 0.304 * 1 * Math.SQRT2 * areaIn2;
    // The draws’ median lies at the middle of film and seal; rounding of 30.4 days a month.
    expect(Math.abs((30.4 * inflowGPerDay.p50) / perMonthG - 1)).toBeLessThan(0.1);
  });

  it('keeps its water: what came through the bag is in gel and spool', () => {
    const members = createMembers('store', {
      material: materialOf('petg'),
      netMassG: 1000,
      stored: 'room',
      supply: 'room',
    });
    const { bench } = members;
    members.take(0, 50);
    fitToRoom(members, 0, 0.3);
    startAt(members, 0, 0.03);
    shapeKernel(bench.kernel, bench.member);
    const saturation = reducedSaturationGPerM3(23);
    const roomGPerM3 = 0.5 * saturation;
    const perDayG = 0.2;
    bench.member.ventM3PerS = perDayG / (DAY_S * roomGPerM3);
    beginState(bench, 23, 0.03 * saturation);
    const gelG = 100;
    const holdsAt = isothermOf('gel', 23);
    const before =
      0.01 * bench.member.dryMassG * meanMoisture(bench.kernel, bench.state) + gelG * holdsAt(0.03);
    let cameInG = 0;
    const times = Array.from({ length: 81 }, (_, i) => i * DAY_S);
    for (let i = 1; i < times.length; i++) {
      keep(bench, { roomC: 23, roomGPerM3, desiccantG: gelG, holdsAt }, { ...createPaths([0, DAY_S], 1) }, 0);
      // The step is implicit: it lets in by what the bag holds at its end.
      cameInG += DAY_S * bench.member.ventM3PerS * (roomGPerM3 - bench.state.boxGPerM3);
    }
    const held =
      0.01 * bench.member.dryMassG * meanMoisture(bench.kernel, bench.state) +
      gelG * holdsAt(bench.state.boxGPerM3 / saturation);
    expect(cameInG).toBeGreaterThan(10);
    // Chords of a measured isotherm, taken twice a step.
    expect(Math.abs(held - before - cameInG)).toBeLessThan(0.02 * cameInG);
  });

  it('lasts at least as long as dry air inside would make it, and not many times longer', () => {
    // By hand: PETG from 0.03 to 0.08 % takes 0.5 g a kilogram; divided by the inflow into dry air this is the least.
    const bare = store({ material: 'petg', startWtPercent: 0.03, desiccantG: 0 });
    const leastS = (DAY_S * 0.5) / bare.inflowGPerDay.p50;
    expect(bare.passesS.p50!).toBeGreaterThan(leastS);
    expect(bare.passesS.p50!).toBeLessThan(2.5 * leastS);
    // 50 g of gel hold 6 g more at the limit’s 16 %RH (Fuji RD 2560: 0.11 kg/kg there, 0.03 when fresh).
    const gel = store({ material: 'petg', startWtPercent: 0.03, desiccantG: 50 });
    const gelS = (DAY_S * (0.5 + 50 * 0.08)) / gel.inflowGPerDay.p50;
    expect(gel.passesS.p50! / gelS).toBeGreaterThan(0.8);
    expect(gel.passesS.p50! / gelS).toBeLessThan(2);
  });

  it('lasts longer with more desiccant, a thicker film, a tighter bag', () => {
    const life = (raw: Record<string, unknown>): number =>
      store({ material: 'petg', startWtPercent: 0.03, ...raw }).passesS.p50 ?? Number.POSITIVE_INFINITY;
    const usual = life({});
    expect(life({ desiccantG: 100 })).toBeGreaterThan(1.4 * usual);
    expect(life({ thicknessUm: 200 })).toBeGreaterThan(1.6 * usual);
    expect(life({ film: 'barrier' })).toBeGreaterThan(10 * usual);
    expect(life({ roomRhPercent: 80 })).toBeLessThan(usual);
  });

  it('says where gel is no help: a limit level with air that gel cannot give', () => {
    const nylon = store({ material: 'pa6' });
    expect(nylon.limitRhPercent.p50).toBeLessThan(8);
    expect(nylon.desiccantForYearG).toBeNull();
    expect(nylon.notes.join()).toContain('molecular sieve');
    const sieve = store({ material: 'pa6', desiccant: 'sieve' });
    expect(sieve.desiccantForYearG).not.toBeNull();
    expect(sieve.passesS.p50!).toBeGreaterThan(2 * nylon.passesS.p50!);
  });

  it('never passes where the room itself is dry enough', () => {
    const { passesS } = store({ material: 'pva', startWtPercent: 0.1, roomRhPercent: 5 });
    expect(passesS.reason.p50).toBe('never');
  });
});
