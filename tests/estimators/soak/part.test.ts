import { describe, expect, it } from 'vitest';
import { ABSENT, type Minute } from '../../../server/estimators/soak/blocks.ts';
import { bedRate, movePart, seenPart, unseenPart } from '../../../server/estimators/soak/part.ts';

const AIR_C = 40;
/** Bed 60 K above constant air at first, with τ_b; part at rest at a share of that, with τ: two first-order lags in a row. */
const SHARE = 0.6;
const PART_S = 420;
const BED_S = 600;
/** Closed form of the second lag's answer: C·e^(−t/τ_b) + (s·60 − C)·e^(−t/τ), C = s·60·τ_b/(τ_b − τ). */
const partC = (s: number): number => {
  const slow = (SHARE * 60 * BED_S) / (BED_S - PART_S);
  return AIR_C + slow * Math.exp(-s / BED_S) + (SHARE * 60 - slow) * Math.exp(-s / PART_S);
};
const bedC = (s: number): number => AIR_C + 60 * Math.exp(-s / BED_S);

const minute = (i: number, surface: (s: number) => number, bed: (s: number) => number): Minute => {
  const s = 60 * i - 30;
  return {
    endMs: 60_000 * i,
    airC: AIR_C,
    bedC: bed(Math.max(0, s)),
    surfaceC: surface(Math.max(0, s)),
    roomC: ABSENT,
    masked: 0,
  };
};

describe('a part on a bed that cools', () => {
  it('follows the closed form of two lags in a row', () => {
    const rates = { loss: 1 / PART_S, pull: SHARE / PART_S };
    let atC = partC(0);
    // The step takes the bed as level: 10 s of 600 leave an error of the order of (10/600)²·60 K.
    for (let s = 0; s < 1800; s += 10) {
      atC = movePart(rates, atC, AIR_C, bedC(s + 5), 10);
      expect(atC).toBeCloseTo(partC(s + 10), 1);
    }
  });

  it('tells its rates once measured, and far more surely than before', () => {
    const minutes = Array.from({ length: 40 }, (_, i) => minute(i - 9, partC, bedC));
    const rates = seenPart(minutes, (at) => at.bedC);
    const { loss, pull } = rates(0, 0);
    expect(1 / loss).toBeGreaterThan(0.93 * PART_S);
    expect(1 / loss).toBeLessThan(1.07 * PART_S);
    expect(pull / loss).toBeCloseTo(SHARE, 1);
    const spread = rates(1, 0).loss / loss;
    const unmeasured = unseenPart(-1, 0).loss / unseenPart(0, 0).loss;
    expect(spread - 1).toBeLessThan(0.3 * (unmeasured - 1));
  });

  it('says what it believed where nothing was measured', () => {
    const nothing = Array.from({ length: 20 }, (_, i) => ({
      ...minute(i, partC, bedC),
      surfaceC: ABSENT,
      bedC: ABSENT,
    }));
    expect(seenPart(nothing, () => 80)(0, 0)).toEqual(unseenPart(0, 0));
    expect(bedRate(nothing, 0, { mean: 0.002, sd: 0.001 })).toEqual({
      mean: 0.002,
      sd: expect.closeTo(0.001, 9),
    });
  });

  it('a bed’s own minutes tell its rate: natural convection, ΔT^(5/4), in closed form', () => {
    // dΔ/dt = −k·Δ·(Δ/20)^¼ ⇒ Δ^(−¼) = Δ0^(−¼) + k·t/(4·20^¼), while Δ is over 1.25 K.
    const k = 1 / 700;
    const cooling = (s: number): number => AIR_C + (60 ** -0.25 + (k * s) / (4 * 20 ** 0.25)) ** -4;
    const minutes = Array.from({ length: 20 }, (_, i) => minute(i + 1, partC, cooling));
    const rate = bedRate(minutes, 0, { mean: 1 / 400, sd: 1 / 1000 });
    expect(1 / rate.mean).toBeGreaterThan(0.97 * 700);
    expect(1 / rate.mean).toBeLessThan(1.03 * 700);
    expect(rate.sd).toBeLessThan(1 / 7000);
  });
});
