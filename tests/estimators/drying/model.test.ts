import { describe, expect, it } from 'vitest';
import {
  createKernel,
  createModelState,
  type Member,
  meanMoisture,
  SHELLS,
  shapeKernel,
  stepModel,
} from '../../../server/estimators/drying/model.ts';
import { PAPER_OUTER_SHARE } from '../../../server/estimators/drying/paper-reel.ts';
import {
  buildThermalTable,
  reducedSaturationGPerM3,
} from '../../../server/estimators/drying/thermal-table.ts';
import { readyShare, wettestTurn } from '../../../server/estimators/drying/turns.ts';
import { besselRoots, cylinderFraction } from '../../../server/physics/crank-cylinder.ts';
import { diffusivityM2PerS } from '../../../server/physics/diffusion.ts';
import { findMaterial } from '../../../server/physics/materials.ts';

const found = findMaterial('pa6');
if (!found.ok) throw new Error(found.detail);
const pa6 = found.material;

function spool(paperG: number, over: Partial<Member> = {}) {
  const member: Member = {
    diffusivityScale: 1,
    slopeWtPercent: pa6.reduced.slopeWtPercent,
    curvature: pa6.reduced.curvature,
    ventM3PerS: 2 / 60_000,
    volumeM3: 0.012,
    packScale: 1,
    filmScale: 1,
    heatScale: 1,
    dryMassG: 1000,
    paperG,
    paperLagS: 4000,
    ...over,
  };
  const kernel = createKernel(buildThermalTable(pa6, 1.75), pa6.densityKgPerM3, pa6.specificHeatJPerKgK);
  shapeKernel(kernel, member);
  const state = createModelState();
  state.temperatureC.fill(23);
  state.modes.fill(2.4);
  state.moisture.fill(2.4);
  state.activity.fill(0.45);
  state.boxGPerM3 = 9;
  state.paperOuterG = PAPER_OUTER_SHARE * 0.06 * paperG;
  state.paperInnerG = 0.06 * paperG - state.paperOuterG;
  return { member, kernel, state };
}

/** Box temperature of a heat-up, °C. */
const boxC = (s: number): number => 23 + 52 * (1 - Math.exp(-s / 900));

function dry(stepS: number, hours: number, paperG: number) {
  const { member, kernel, state } = spool(paperG);
  const airG = (temperatureC: number): number =>
    (state.boxGPerM3 * member.volumeM3 * 296.15) / (temperatureC + 273.15);
  const storesG = (): number =>
    0.01 * member.dryMassG * meanMoisture(kernel, state) + state.paperOuterG + state.paperInnerG;
  let worst = 0;
  for (let s = 0; s < 3600 * hours; s += stepS) {
    const t = boxC(s + stepS);
    const before = storesG() + airG(t);
    stepModel(kernel, member, state, stepS, t, 9, 0);
    const out = member.ventM3PerS * stepS * (state.boxGPerM3 - 9);
    worst = Math.max(worst, Math.abs(before - out - storesG() - airG(t)) / before);
  }
  return { worst, mean: meanMoisture(kernel, state), state, kernel };
}

describe('the reduced model', () => {
  it('keeps its water to 1e-9 at ten seconds and at ten minutes, and both agree within 2 %', () => {
    for (const paperG of [0, 200]) {
      const fine = dry(10, 12, paperG);
      const coarse = dry(600, 12, paperG);
      expect(fine.worst).toBeLessThan(1e-9);
      expect(coarse.worst).toBeLessThan(1e-9);
      expect(Math.abs(coarse.mean / fine.mean - 1)).toBeLessThan(0.02);
    }
  });

  it('comes to the isotherm’s equilibrium with the supply air in the end', () => {
    const { member, kernel, state } = spool(0, { diffusivityScale: 50, ventM3PerS: 0.01 });
    for (let i = 0; i < 2000; i++) stepModel(kernel, member, state, 600, 75, 9, 0);
    const a = 9 / reducedSaturationGPerM3(75);
    // F at 75 °C with −4 kJ/mol by hand: exp[(4000/8.314)(1/348.15 − 1/296.15)] = 0.7846.
    const expected = (0.7846 * pa6.reduced.slopeWtPercent * a) / (1 - pa6.reduced.curvature * a);
    expect(meanMoisture(kernel, state)).toBeCloseTo(expected, 3);
  });

  it('lets a lone filament in dry moving air follow Crank’s cylinder within 2 % of its water', () => {
    // Wide open pack and film, hot from the start, dry supply: only the filament itself resists.
    const { member, kernel, state } = spool(0, { ventM3PerS: 50, packScale: 1e6, filmScale: 1e6 });
    state.temperatureC.fill(80);
    state.modes.fill(0.3);
    state.moisture.fill(0.3);
    const roots = besselRoots(40);
    const D = diffusivityM2PerS(
      pa6.diffusivityM2PerS,
      pa6.activationEnergyKJPerMol,
      pa6.concentrationLaw,
      80,
      0.15,
    );
    for (let s = 60; s <= 8 * 3600; s += 60) {
      stepModel(kernel, member, state, 60, 80, 0, 0);
      if (s % 3600 !== 0) continue;
      const x = (D * s) / 0.875e-3 ** 2;
      expect(Math.abs(1 - meanMoisture(kernel, state) / 0.3 - cylinderFraction(x, roots))).toBeLessThan(0.02);
    }
  });

  it('never makes moisture or vapour negative under rude steps', () => {
    const { member, kernel, state } = spool(200, { curvature: -0.8, diffusivityScale: 30 });
    for (const t of [90, 20, 90, -10, 110, 23])
      for (let i = 0; i < 20; i++) {
        stepModel(kernel, member, state, 1800, t, 0.2, i % 5 === 0 ? 300 : 0);
        expect(state.boxGPerM3).toBeGreaterThanOrEqual(0);
        for (let k = 0; k < SHELLS; k++) expect(state.moisture[k]).toBeGreaterThanOrEqual(0);
      }
  });
});

describe('turns', () => {
  const share = new Float64Array([0.1, 0.14, 0.16, 0.18, 0.2, 0.22]);

  it('are ready from the outside in up to the first one over the limit', () => {
    expect(readyShare(new Float64Array(6).fill(0.1), share, 0.2)).toBe(1);
    expect(readyShare(new Float64Array(6).fill(0.3), share, 0.2)).toBe(0);
    // The line from 0.1 to 0.3 crosses 0.2 half way between the middles of shells 2 and 3.
    const ready = readyShare(new Float64Array([0.3, 0.3, 0.3, 0.1, 0.1, 0.1]), share, 0.2);
    expect(ready).toBeCloseTo(0.22 + 0.2 + 0.18 - 0.09 + 0.5 * 0.17, 10);
  });

  it('are wettest at the hub of a parabola', () => {
    // w = 1 − x² with middles at 1/12 and 3/12 of the depth: at x = 0 it is 1.
    const parabola = Float64Array.from({ length: 6 }, (_, i) => 1 - ((i + 0.5) / 6) ** 2);
    expect(wettestTurn(parabola)).toBeCloseTo(1, 12);
  });

  it('runs colder while water leaves, by what the heat of evaporation asks of conduction', () => {
    const wet = spool(0);
    const dry = spool(0);
    dry.state.modes.fill(0);
    dry.state.moisture.fill(0);
    dry.state.activity.fill(0);
    const meanC = ({ kernel, state }: typeof wet): number =>
      kernel.shellShare.reduce((sum, part, i) => sum + part * state.temperatureC[i]!, 0);
    let given = 0;
    let lackS = 0;
    for (let s = 0; s < 72 * 3600; s += 60) {
      const before = meanMoisture(wet.kernel, wet.state);
      for (const one of [wet, dry]) stepModel(one.kernel, one.member, one.state, 60, 75, 0.5, 0);
      given += 10 * (before - meanMoisture(wet.kernel, wet.state));
      lackS += 60 * (meanC(dry) - meanC(wet));
    }
    // Heat that came in by conduction because the spool was colder: UA·∫ΔT dt = 2400 J/g × water given (steam tables).
    // UA of flanges and hub by hand: 2·π(0.0829² − 0.047²)·3.22 + 2π·0.047·0.06·3 = 0.147 W/K; of the outer face at most
    // 2π·0.0829·0.06·12 = 0.375 W/K, which the winding's own conduction halves about.
    expect(given).toBeGreaterThan(20);
    const wholeWPerK = (2400 * given) / lackS;
    expect(wholeWPerK).toBeGreaterThan(0.147);
    expect(wholeWPerK).toBeLessThan(0.147 + 0.375);
  });
});
