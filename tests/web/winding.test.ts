import { describe, expect, test } from 'vitest';
import { outerGrams, radiusOfGrams, shellRows, tintOf, turnAt, windingOf } from '../../web/spool/winding.ts';
import { quantiles, spoolOf } from '../browser/invented-spool.ts';

describe('the winding', () => {
  test('a kilogram of nylon on a common reel is about 92 mm in radius', () => {
    // 1000 g at 0.84 g/cm³ are 1190 cm³; over π·6 cm of width that is 63.2 cm², and √(4.7² + 63.2) = 9.24 cm.
    expect(windingOf(1000).outerMm).toBeCloseTo(92.4, 0);
  });

  test('half of the grams lie outside the radius that halves the area of the ring', () => {
    const winding = { hubMm: 30, outerMm: 50, netG: 800 };
    // √((50² + 30²)/2) = 41.231
    expect(radiusOfGrams(winding, 400)).toBeCloseTo(41.231, 3);
    expect(outerGrams(winding, 41.231)).toBeCloseTo(400, 1);
    expect([radiusOfGrams(winding, 0), radiusOfGrams(winding, 800)]).toEqual([50, 30]);
    expect(radiusOfGrams(winding, 5000)).toBe(30);
  });

  test('a turn in the middle of a shell has its moisture, one between two the geometric mean', () => {
    const winding = { hubMm: 40, outerMm: 60, netG: 1 };
    const profile = [quantiles(0.2, 0.4, 0.8), quantiles(0.1, 0.1, 0.2)];
    expect(turnAt(winding, profile, 45).p50).toBeCloseTo(0.4, 12);
    expect(turnAt(winding, profile, 50).p50).toBeCloseTo(0.2, 12);
    expect(turnAt(winding, profile, 55).p95).toBeCloseTo(0.2, 12);
    // Beyond the middles of the first and the last shell it stays.
    expect([turnAt(winding, profile, 40).p05, turnAt(winding, profile, 60).p50]).toEqual([0.2, 0.1]);
  });

  test('a tint class ends exactly at the limit, and there are ten', () => {
    expect([0.19, 0.2, 0.2001].map((w) => tintOf(w, 0.2))).toEqual([2, 2, 3]);
    expect([0, 9].map((w) => tintOf(w, 0.2))).toEqual([0, 9]);
  });

  test('the table runs from the outside in and holds every gram once', () => {
    const rows = shellRows(spoolOf());
    expect(rows.length).toBe(6);
    expect(rows[0]?.fromG).toBeCloseTo(0, 9);
    expect(rows.at(-1)?.toG).toBeCloseTo(940, 9);
    for (const [index, row] of rows.slice(1).entries()) expect(row.fromG).toBeCloseTo(rows[index]!.toG, 9);
    expect([rows[0]!.moisture.p50, rows.at(-1)!.moisture.p50]).toEqual([0.18, 0.47]);
    // Shells of one depth hold the more the further out they lie.
    expect(rows[0]!.toG).toBeGreaterThan(rows.at(-1)!.toG - rows.at(-1)!.fromG);
  });
});
