import { describe, expect, it } from 'vitest';
import { saturationPressurePa } from '../../server/physics/saturation.ts';
import { drawPolymer, type Polymer } from '../../simulators/polymer-draw.ts';
import { seededRandom } from '../../simulators/random.ts';
import { spoolHeat } from '../../simulators/spool-heat.ts';
import { spoolTruth } from '../../simulators/spool-truth.ts';
import { airDiffusivityM2PerS, type WindingSpec, wind } from '../../simulators/winding.ts';

/**
 * Diffusion out of a hollow cylinder, hub sealed, outside held, R1/R2 = 0.5: fraction lost against x = D·t/(R2 − R1)².
 * Closed form by the roots of J0·Y1 − J1·Y0 (Crank 1975 ch. 5.4; Carslaw & Jaeger 1959 ch. 13), evaluated outside this
 * project: 50 % at 0.1315, 90 % at 0.628, 95 % at 0.8435.
 */
const HOLLOW: readonly (readonly [fraction: number, x: number])[] = [
  [0.5, 0.1315],
  [0.9, 0.628],
  [0.95, 0.8435],
];
const HUB_M = 0.05;
const DEPTH_M = 0.05;
const WIDTH_M = 0.06;
const POROSITY = 0.25;
const HALVES = [0.5, 0.5] as const;

const polymer: Polymer = {
  ...drawPolymer('pc', 70, seededRandom(1), { hysteresis: 0 }),
  isotherm: { k: 0.5, C: 0, b: 1, q: 0, n: 3 },
  netEnthalpyJPerMol: 0,
  // Fast enough for the filament never to be what holds the water back.
  dryDiffusivityM2PerS: 1e-7,
  activationJPerMol: 0,
};
const spec = (shells: number): WindingSpec => ({
  dryMassG:
    1000 *
    polymer.densityKgPerM3 *
    (1 - POROSITY) *
    WIDTH_M *
    Math.PI *
    ((HUB_M + DEPTH_M) ** 2 - HUB_M ** 2),
  polymerDensityKgPerM3: polymer.densityKgPerM3,
  hubRadiusM: HUB_M,
  widthM: WIDTH_M,
  porosity: new Array<number>(shells).fill(POROSITY),
  sideShare: HALVES,
  diffusionFactor: 1,
  flangeOpenFraction: 0,
  bedConductivityWPerMK: 0.12,
  outerHeatWPerM2K: 1e6,
  flangeHeatWPerM2K: 1e-9,
  hubHeatWPerM2K: 0,
  outerVapourMPerS: 1e4,
});

describe('a simulated winding', () => {
  it('is as deep as its filament needs', () => {
    const winding = wind(spec(16));
    expect(winding.outerRadiusM).toBeCloseTo(HUB_M + DEPTH_M, 6);
    expect(winding.dryMassG.reduce((sum, g) => sum + g)).toBeCloseTo(spec(16).dryMassG, 3);
  });

  it('warms like the published hollow cylinder: within 2 % of the whole at 16 shells, 0.5 % at 64', () => {
    for (const [shells, tolerance] of [
      [16, 0.02],
      [64, 0.005],
    ] as const) {
      const winding = wind(spec(shells));
      const diffusivity = 0.12 / ((1 - POROSITY) * polymer.densityKgPerM3 * polymer.specificHeatJPerKgK);
      for (const [fraction, x] of HOLLOW) {
        const heat = spoolHeat(polymer, winding, HALVES, 20);
        const endS = (x * DEPTH_M ** 2) / diffusivity;
        for (let i = 0; i < 2000; i++) heat.step([80, 80], 80, new Float64Array(2 * shells), endS / 2000);
        let mean = 0;
        let volume = 0;
        for (let i = 0; i < shells; i++) {
          mean += winding.shellVolumeM3[i]! * heat.temperatureC[i]!;
          volume += winding.shellVolumeM3[i]!;
        }
        expect(Math.abs((mean / volume - 20) / 60 - fraction), `${shells} shells`).toBeLessThan(tolerance);
      }
    }
  });

  it('dries like the same cylinder when only the pores hold the water back, retarded by what the filament binds', () => {
    // D_app = De/(ε + (1 − ε)·K), K = ρ_p·(dM/da)/c_sat: linear isotherm, so this is exact.
    const shells = 32;
    const c = saturationPressurePa(70) / (461.523 * 343.15);
    const K = (polymer.densityKgPerM3 * 0.005) / c;
    const De = (airDiffusivityM2PerS(70) * POROSITY) / (2 - POROSITY);
    const apparent = De / (POROSITY + (1 - POROSITY) * K);
    for (const [fraction, x] of HOLLOW) {
      const winding = wind(spec(shells));
      const spool = spoolTruth(polymer, winding, HALVES, 0.875e-3, 8, {
        temperatureC: 70,
        shellWtPercent: new Array<number>(shells).fill(0.25),
        shellActivity: new Array<number>(shells).fill(0.5),
        branch: 1,
      });
      const before = spool.waterG();
      const endS = (x * DEPTH_M ** 2) / apparent;
      for (let i = 0; i < 2000; i++) {
        spool.relate(0, endS / 2000);
        spool.settle(0);
      }
      expect(Math.abs(1 - spool.waterG() / before - fraction)).toBeLessThan(0.01);
    }
  });

  it('takes the diffusivity of vapour in air at 23 and 80 °C as published: 2.47e-5 and 3.47e-5 m²/s', () => {
    // Pruppacher & Klett eq. 13-3; Marrero & Mason 1972 agrees within 2.5 %.
    expect(airDiffusivityM2PerS(23) * 1e5).toBeCloseTo(2.468, 2);
    expect(airDiffusivityM2PerS(80) * 1e5).toBeCloseTo(3.473, 2);
  });
});
