import { describe, expect, it } from 'vitest';
import { DRAWS, PATH_S, type SoakAnswers } from '../../../server/estimators/soak/draws.ts';
import { summariseSoak } from '../../../server/estimators/soak/summary.ts';

const filled = (value: number, count = DRAWS): Float64Array => new Float64Array(count).fill(value);

const answers = (meanFinalC: number, finalSdC: number): SoakAnswers => ({
  finalAirC: filled(meanFinalC),
  meanFinalC: filled(meanFinalC),
  finalSdC: filled(finalSdC),
  finalFrameC: filled(45),
  frameC: filled(44),
  wallC: filled(44),
  floorC: filled(44),
  path: filled(50, DRAWS * PATH_S.length),
  steadyInS: filled(0),
  openInS: filled(0),
});

describe('the probability of being steady', () => {
  // Any table of the normal distribution: Φ(1.5) = 0.93319, Φ(1) = 0.84134, Φ(0.5) = 0.69146, Φ(2) = 0.97725.
  it.each([
    ['the end half a degree off, with little doubt', 50.55, 0.3, 0.93319],
    ['the same below the air', 49.45, 0.3, 0.93319],
    ['on the band’s edge: one way in two', 51, 0.25, 0.5],
    ['as wide as the band', 50, 1, 2 * 0.84134 - 1],
    ['beyond the band', 51.5, 1, 0.99379 - 0.69146],
    ['half of the band wide', 50, 0.5, 2 * 0.97725 - 1],
  ])('%s', (_name, endC, sdC, probability) => {
    // Φ(2.5) = 0.99379 in the fifth row: 1.5 − 1 and 1.5 + 1 over 1. Tables have five digits.
    expect(summariseSoak(answers(endC, sdC), 50, 1).pSteady).toBeCloseTo(probability, 4);
  });

  it('is the mean over what the draws hold', () => {
    const two = answers(50, 0.1);
    two.meanFinalC.fill(55, 0, DRAWS / 4);
    expect(summariseSoak(two, 50, 1).pSteady).toBeCloseTo(0.75, 6);
  });
});
