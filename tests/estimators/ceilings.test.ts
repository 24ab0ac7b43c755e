import { describe, expect, it } from 'vitest';
import {
  type AirAhead,
  adviseHotter,
  type DryerFacts,
  type Inside,
  judgeCeiling,
  judgeDryer,
  judgeTarget,
  ratingsInside,
} from '../../server/estimators/ceilings.ts';
import { LEAST_LEAD_S, leadsOf, runCeilingCase } from '../studies/ceilings.ts';

const inside = (things: string[], given: Partial<Inside> = {}): Inside => ({
  things,
  userCeilingC: null,
  reel: null,
  sensorParts: [],
  ...given,
});
const air = (airC: number, p95 = airC): AirAhead => ({ airC, finalP95C: p95, path: [] });

describe('a chamber’s ceiling', () => {
  it.each([
    // what is inside, air now, foretold at most, outcome, ceiling that decides
    ['nothing listed', inside([]), air(70), 'cannot-tell', null],
    ['only a sensor is rated', inside([], { sensorParts: ['sht41'] }), air(40), 'cannot-tell', 125],
    ['only a sensor, but near its rating', inside([], { sensorParts: ['dht11'] }), air(46), 'near', 50],
    ['petg far below', inside(['petg']), air(40), 'clear', 65],
    ['petg within the margin', inside(['petg']), air(60), 'near', 65],
    ['petg at it', inside(['petg']), air(65), 'passed', 65],
    ['petg foretold near', inside(['petg']), air(40, 61), 'near-ahead', 65],
    ['petg foretold just under the margin', inside(['petg']), air(40, 60), 'clear', 65],
    ['the lowest of several decides', inside(['abs', 'pla', 'pmma']), air(46), 'near', 50],
    ['electronics inside', inside(['abs', 'electronics']), air(46), 'passed', 45],
    ['the user’s own ceiling wins, lower', inside(['abs'], { userCeilingC: 60 }), air(56), 'near', 60],
    ['the user’s own ceiling wins, higher', inside(['pla'], { userCeilingC: 58 }), air(51), 'clear', 58],
    [
      'but not over a sensor’s rating',
      inside([], { userCeilingC: 90, sensorParts: ['bme280'] }),
      air(86),
      'passed',
      85,
    ],
    ['a reel of unknown kind', inside(['abs'], { reel: 'unknown' }), air(57), 'near', 60],
    ['a cardboard reel', inside(['abs'], { reel: 'cardboard' }), air(71), 'passed', 70],
    ['a plastic reel says nothing', inside([], { reel: 'plastic' }), air(71), 'cannot-tell', null],
    ['no air known', inside(['petg']), null, 'cannot-tell', 65],
  ] as const)('%s', (_name, what, ahead, outcome, ceilingC) => {
    const finding = judgeCeiling(what, ahead);
    expect(finding.outcome).toBe(outcome);
    expect(finding.rating?.ceilingC ?? null).toBe(ceilingC);
    expect(finding.reason.length).toBeGreaterThan(5);
  });

  it('names what the table does not know, rather than leaving it out quietly', () => {
    expect(ratingsInside(inside(['petg', 'plywood'], { sensorParts: ['xyz9'] })).unknown).toEqual([
      'plywood',
      'xyz9',
    ]);
  });

  // Common practice, no source: polyamide chambers run upwards of 50 °C; PLA parts are too near that, PETG and above hold.
  it.each([
    ['pla', 'near-ahead'],
    ['petg', 'clear'],
    ['abs', 'clear'],
    ['asa', 'clear'],
    ['pc', 'clear'],
  ] as const)('a polyamide chamber at 50 °C with %s parts: %s', (key, outcome) => {
    expect(judgeTarget(inside([key]), 50).outcome).toBe(outcome);
  });

  it('says when the likeliest path will cross, and nothing where it does not', () => {
    const path = [50, 55, 60, 66].map((p50, i) => ({ atMs: i * 600_000, p50, p95: p50 + 2 }));
    expect(judgeCeiling(inside(['petg']), { airC: 50, finalP95C: 68, path }).crossesAtMs).toBe(1_800_000);
    expect(judgeCeiling(inside(['abs']), { airC: 50, finalP95C: 68, path }).crossesAtMs).toBeNull();
  });

  it('a chamber with PLA parts that heads for 55 °C is warned at least ten minutes before it crosses', () => {
    const leads = leadsOf([100, 101, 102, 103, 104, 105].flatMap((seed) => runCeilingCase(seed, 55) ?? []));
    expect(leads.length).toBeGreaterThanOrEqual(2);
    for (const lead of leads) expect(lead).toBeGreaterThanOrEqual(LEAST_LEAD_S);
    // Crossing within 45 min of the heat is the target's to warn of, at once.
    expect(judgeTarget(inside(['pla']), 55).outcome).toBe('near-ahead');
  }, 60_000);
});

const dryer = (given: Partial<DryerFacts>): DryerFacts => ({
  airC: 70,
  highestDryingC: 90,
  materialName: 'PA6',
  inside: inside([], { reel: 'plastic' }),
  ...given,
});

describe('a dryer’s heat', () => {
  it.each([
    ['well below', {}, 'clear'],
    [
      'too hot for the material',
      { airC: 70, highestDryingC: 55, materialName: 'PLA' },
      'too-hot-for-material',
    ],
    [
      'too hot for a cardboard reel',
      { airC: 72, inside: inside([], { reel: 'cardboard' }) },
      'too-hot-inside',
    ],
    [
      'too hot for a reel of unknown kind',
      { airC: 61, inside: inside([], { reel: 'unknown' }) },
      'too-hot-inside',
    ],
    ['near what the material bears', { airC: 89 }, 'near'],
    [
      'material unknown, reel known to bear it',
      { highestDryingC: null, inside: inside([], { reel: 'cardboard' }) },
      'too-hot-inside',
    ],
    ['nothing known', { highestDryingC: null }, 'cannot-tell'],
    ['no air', { airC: null }, 'cannot-tell'],
  ] as const)('%s', (_name, given, outcome) => {
    expect(judgeDryer(dryer(given)).outcome).toBe(outcome);
  });

  it('is named after what bears least: the material, or what stands inside', () => {
    expect(judgeDryer(dryer({ highestDryingC: 55, materialName: 'PLA' })).whose).toBe('PLA');
    expect(judgeDryer(dryer({ inside: inside([], { reel: 'cardboard' }) })).whose).toBe('cardboard reel');
    expect(judgeDryer(dryer({ highestDryingC: null })).whose).toBeNull();
  });

  it.each([
    ['material and reel known', {}, 'may-be-hotter', 90],
    ['reel unknown', { inside: inside([], { reel: 'unknown' }) }, 'reel-unknown', null],
    ['reel not stated', { inside: inside([]) }, 'reel-unknown', null],
    ['material unknown', { highestDryingC: null }, 'material-unknown', null],
    [
      'a cardboard reel holds it down',
      { airC: 50, inside: inside([], { reel: 'cardboard' }) },
      'may-be-hotter',
      65,
    ],
    ['at the limit', { airC: 89 }, 'at-the-limit', null],
    ['at the cardboard’s', { airC: 64, inside: inside([], { reel: 'cardboard' }) }, 'at-the-limit', null],
    ['no air', { airC: null }, 'cannot-tell', null],
  ] as const)('hotter? %s', (_name, given, outcome, toC) => {
    const finding = adviseHotter(dryer(given));
    expect(finding.outcome).toBe(outcome);
    expect(finding.toC).toBe(toC);
  });
});
