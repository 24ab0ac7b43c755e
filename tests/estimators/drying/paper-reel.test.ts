import { describe, expect, it } from 'vitest';
import {
  createPaperStep,
  innerPaperG,
  PAPER_OUTER_SHARE,
  paperWaterGPerG,
  relatePaper,
} from '../../../server/estimators/drying/paper-reel.ts';
import {
  buildThermalTable,
  reducedSaturationGPerM3,
} from '../../../server/estimators/drying/thermal-table.ts';
import { findMaterial } from '../../../server/physics/materials.ts';

const found = findMaterial('pa6');
if (!found.ok) throw new Error(found.detail);
const table = buildThermalTable(found.material, 1.75);
const paperG = 200;

/** A reel at 70 °C in air of a fixed vapour; water inside and given away, by second. */
function run(stepS: number, hours: number, vapourG: number, filmScale = 1, lagS = 4200) {
  const member = { paperG, paperLagS: lagS, filmScale };
  const start = paperG * paperWaterGPerG(0.45);
  let outer = PAPER_OUTER_SHARE * start;
  let inner = start - outer;
  let given = 0;
  const step = createPaperStep();
  for (let s = 0; s < 3600 * hours; s += stepS) {
    relatePaper(step, member, { paperOuterG: outer, paperInnerG: inner }, table, 70, 70, stepS);
    given += stepS * (step.given0 - step.given1 * vapourG);
    outer = step.own + step.perE * vapourG;
    inner = innerPaperG(step, outer, inner);
  }
  return { start, outer, inner, given };
}

describe('a cardboard reel', () => {
  it('gives to the box what it loses, at ten seconds and at ten minutes', () => {
    for (const stepS of [10, 600]) {
      const { start, outer, inner, given } = run(stepS, 6, 9);
      expect(Math.abs(start - outer - inner - given)).toBeLessThan(1e-9 * start);
    }
  });

  it('rests where its isotherm does', () => {
    const { outer, inner } = run(600, 400, 20);
    const rest = paperG * paperWaterGPerG(20 / reducedSaturationGPerM3(70));
    expect((outer + inner) / rest).toBeCloseTo(1, 3);
  });

  it('holds about 4, 7 and 2 wt % at 20, 50 and 5 %RH (from memory)', () => {
    expect(100 * paperWaterGPerG(0.5)).toBeCloseTo(7, 6);
    expect(100 * paperWaterGPerG(0.2)).toBeCloseTo(4.2, 1);
    expect(100 * paperWaterGPerG(0.05)).toBeCloseTo(2, 1);
  });

  it('with no film to speak of, its inner plies follow the outer ones as one lag does', () => {
    // Outer plies at rest at once: inner = rest + (start − rest)·e^{−t/lag}, exact; ten-second steps are 0.2 % off.
    const { start, inner } = run(10, 1, 20, 1e6);
    const rest = (1 - PAPER_OUTER_SHARE) * paperG * paperWaterGPerG(20 / reducedSaturationGPerM3(70));
    const begun = (1 - PAPER_OUTER_SHARE) * start;
    // 30 kJ/mol about 70 °C: the stated lag at 70.
    const expected = rest + (begun - rest) * Math.exp(-3600 / 4200);
    expect(Math.abs(inner / expected - 1)).toBeLessThan(0.01);
  });
});
