import { describe, expect, it } from 'vitest';
import { filmRateGPerM2Day, roomRateGPerM2Day } from '../../server/physics/bag.ts';
import { sieveKgPerKg, silicaGelAt25C, silicaGelKgPerKg } from '../../server/physics/desiccant.ts';
import { fibreVolumeFraction } from '../../server/physics/diffusion.ts';
import { floorWtPercent, supplyRangePa } from '../../server/physics/floor.ts';
import { findMaterial, MATERIAL_KEYS, type Material } from '../../server/physics/materials.ts';
import { vapourPressurePa } from '../../server/physics/psychrometrics.ts';
import {
  equilibriumWtPercent,
  reducedEquilibriumWtPercent,
  reduceIsotherm,
} from '../../server/physics/sorption.ts';
import {
  packDiffusionRatio,
  retardation,
  vapourDiffusivityM2PerS,
  vapourDiffusivityMarreroMasonM2PerS,
} from '../../server/physics/spool-pack.ts';
import { expansionBoundPercentPerWtPercent, swellingMm } from '../../server/physics/swelling.ts';

const material = (key: string, fibre = 0): Material => {
  const answer = findMaterial(key, fibre);
  if (!answer.ok) throw new Error(answer.detail);
  return answer.material;
};

/** Published equilibria at 23 °C; tolerance by the grade of the source. */
const EQUILIBRIA: readonly (readonly [
  key: string,
  activity: number,
  wt: number,
  within: number,
  source: string,
])[] = [
  ['pa6', 0.6, 3.5, 0.2, 'Toray Amilan tec_003: 3.5 % at 60 %RH'],
  ['pa6', 0.95, 8.3, 0.8, 'Mettler-Toledo UC241: 8.3 % at 95 %RH'],
  ['pa66', 0.9, 5.8, 1.6, 'Broudin 2015: at most 5 % at 90 %RH; grades differ by 25 %'],
  ['pa612', 1, 2.8, 0.3, '2.8 % saturated, PA612 data page'],
  ['pa12', 1, 1.4, 0.2, '1.4 % saturated, data sheets'],
  ['pc', 1, 0.32, 0.05, 'LG-Dow PC data sheet: 0.32 % saturated'],
  ['abs', 0.1, 0.05, 0.005, 'Materials 2023 16(3) 938: 0.05 % per 10 %RH'],
  ['pet', 0.5, 0.4, 0.08, 'M = 0.8·RH/100'],
  ['pla', 0.9, 0.5, 0.25, 'Siparsky: 0.29–0.72 % at 90 %RH'],
  ['pei', 1, 1.39, 0.02, 'Merdas 2000: 1.39 % at 20 °C'],
];

describe('the materials table', () => {
  it('agrees with published equilibria', () => {
    for (const [key, a, wt, within, source] of EQUILIBRIA)
      expect(Math.abs(equilibriumWtPercent(material(key).isotherm, a) - wt), source).toBeLessThanOrEqual(
        within,
      );
  });

  it('has 17 families and three additions, each number with a source and a grade', () => {
    // `tpu` is a second name of the ester grade.
    expect(MATERIAL_KEYS.filter((key) => key !== 'tpu')).toHaveLength(20);
    for (const key of MATERIAL_KEYS)
      for (const row of material(key).evidence) {
        expect(row.sources.length, `${key} ${row.quantity}`).toBeGreaterThan(0);
        for (const source of row.sources) expect(source.length).toBeGreaterThan(5);
        expect(row.grade).toMatch(/high|medium|low|judgement/);
        expect(Number.isFinite(row.value)).toBe(true);
      }
  });

  it('refuses unknown materials and impossible fibre by name', () => {
    expect(findMaterial('unobtainium')).toMatchObject({ ok: false, reason: 'unknown-material' });
    expect(findMaterial('constructor')).toMatchObject({ ok: false, reason: 'unknown-material' });
    expect(findMaterial('pa6', 60)).toMatchObject({ ok: false, reason: 'fibre-range' });
  });

  it('scales for fibre as the table’s own filled row', () => {
    // φ of 20 wt % carbon fibre in polyamide 6: 0.136 (rule of mixtures).
    expect(fibreVolumeFraction(0.2, 1130)).toBeCloseTo(0.1357, 3);
    const filled = material('pa6', 20);
    const row = material('pa6_cf20');
    expect(filled.densityKgPerM3).toBeCloseTo(1221, 0);
    expect(filled.diffusivityM2PerS / row.diffusivityM2PerS).toBeCloseTo(1, 2);
    expect(filled.printingLimitWtPercent).toBeCloseTo(0.16, 6);
    expect(material('pa6_cf20', 20).reduced).toEqual(row.reduced);
  });

  it('lets a user know better, and says so', () => {
    const answer = findMaterial('pc', 0, { printingLimitWtPercent: 0.02, isothermScale: 1.1 });
    if (!answer.ok) throw new Error(answer.detail);
    expect(answer.material.reduced.slopeWtPercent).toBeCloseTo(0.385, 6);
    expect(answer.material.evidence.find((row) => row.quantity === 'printing limit')).toMatchObject({
      value: 0.02,
      grade: 'user',
    });
  });
});

describe('sorption at low humidity', () => {
  it('keeps the slope at zero and the value at half', () => {
    const { isotherm } = material('pa6');
    const reduced = reduceIsotherm(isotherm);
    // By hand from the GAB constants: Mm·C·K = 3.177·2.191·0.718.
    expect(reduced.slopeWtPercent).toBeCloseTo(4.998, 3);
    expect(reduced.curvature).toBeCloseTo(0.17, 2);
    expect(reducedEquilibriumWtPercent(reduced, 0.5)).toBeCloseTo(equilibriumWtPercent(isotherm, 0.5), 10);
    expect(reducedEquilibriumWtPercent(reduced, 1e-6) / 1e-6).toBeCloseTo(4.998, 3);
  });

  it('answers NaN outside 0–1', () => {
    expect(equilibriumWtPercent(material('pc').isotherm, 1.1)).toBeNaN();
    expect(reducedEquilibriumWtPercent({ slopeWtPercent: 1, curvature: 0 }, -0.1)).toBeNaN();
  });
});

describe('the floor', () => {
  it('is what heated room air of 23 °C and 50 %RH leaves in the polymer', () => {
    const room = vapourPressurePa(23, 50);
    const floor = (key: string, temperatureC: number): number => {
      const m = material(key);
      return floorWtPercent(m.reduced, m.netSorptionEnthalpyKJPerMol, temperatureC, room);
    };
    // Moisture chapter of the table's notes: PA6 at 70 °C 0.1–0.3, PETG 65 °C 0.03, ABS 80 °C 0.015, PC 110 °C 0.003.
    expect(floor('pa6', 70)).toBeGreaterThan(0.1);
    expect(floor('pa6', 70)).toBeLessThan(0.3);
    expect(floor('petg', 65)).toBeCloseTo(0.028, 2);
    expect(floor('abs', 80)).toBeCloseTo(0.015, 3);
    expect(floor('pc', 110)).toBeCloseTo(0.0034, 3);
  });

  it('knows a range for dried air and none for a closed box', () => {
    expect(supplyRangePa('closed', 1400)).toBeNull();
    expect(supplyRangePa('room', 1400)).toEqual({ low: 1400, high: 1400 });
    expect(supplyRangePa('desiccant', 1400)!.low).toBeLessThan(30);
  });
});

describe('the winding', () => {
  it('has two published vapour diffusivities that agree within 3 %', () => {
    for (const t of [23, 40, 60, 80])
      expect(vapourDiffusivityM2PerS(t) / vapourDiffusivityMarreroMasonM2PerS(t)).toBeCloseTo(1, 1.3);
    expect(vapourDiffusivityM2PerS(23)).toBeCloseTo(2.468e-5, 8);
  });

  it('holds vapour back as Rayleigh’s cylinders and the retardation say', () => {
    expect(packDiffusionRatio(0.25)).toBeCloseTo(0.25 / 1.75, 10);
    expect(packDiffusionRatio(1)).toBeNaN();
    // K of PA12 at 80 °C about 49: ρ·(dM/da)/c_sat with c_sat 0.291 kg/m³.
    expect(retardation(1015, 1.41, 80)).toBeCloseTo(49, -0.5);
  });
});

describe('desiccants, bags, swelling', () => {
  it('give back the measured loadings of gel and sieve', () => {
    expect(silicaGelAt25C(40.1)).toBeCloseTo(0.2445, 6);
    // Chua's Toth at 25 °C and 20 %RH: 0.146. Hot gel at one vapour pressure (Siogel, 60.5 °C/11.7 %RH): 0.078.
    expect(silicaGelKgPerKg(25, 20)).toBeCloseTo(0.146, 2);
    expect(silicaGelKgPerKg(60.5, 11.7)).toBeLessThan(0.1);
    // 5A sieve measured (Wang & LeVan 2009): 0.176 at 3.4 %RH and 25 °C, 0.133 at 1.3 %RH and 100 °C.
    expect(Math.abs(sieveKgPerKg(25, 3.4) - 0.176)).toBeLessThan(0.02);
    expect(Math.abs(sieveKgPerKg(100, 1.3) - 0.133)).toBeLessThan(0.03);
  });

  it('scale a film’s rate from the test to a room', () => {
    // LDPE 1 mil: 16–23 g/(m²·day) at 38 °C/90 %RH; 100 µm at 23 °C/50 %RH about 0.6 (±40 %).
    expect(filmRateGPerM2Day(1.25, 25.4)).toBeCloseTo(19.4, 0);
    const room = roomRateGPerM2Day(filmRateGPerM2Day(1.25, 100), 23, 50);
    expect(room).toBeGreaterThan(0.36);
    expect(room).toBeLessThan(0.84);
  });

  it('bound swelling by added volumes', () => {
    expect(expansionBoundPercentPerWtPercent(1130)).toBeCloseTo(0.377, 3);
    // Nylon design guide: 2.5 wt % of PA66 grow a part by 0.6 %, so 100 mm by 0.6 mm at β 0.24.
    expect(swellingMm(100, 0.24, 2.5)).toBeCloseTo(0.6, 6);
  });
});
