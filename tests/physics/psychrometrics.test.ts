import { describe, expect, test } from 'vitest';
import {
  dewPointC,
  enthalpyKJPerKg,
  humidityRatioKgPerKg,
  moistAir,
  moistAirDensityKgPerM3,
  saturationDensityGPerM3,
  vapourDensityGPerM3,
  vapourPressureFromDensityPa,
  vapourPressurePa,
} from '../../server/physics/psychrometrics.ts';
import {
  frostPointC,
  saturationPressurePa,
  saturationTemperatureC,
  sublimationPressurePa,
  TRIPLE_POINT_PA,
} from '../../server/physics/saturation.ts';
import reference from '../vectors/psychrometrics.json' with { type: 'json' };
import { humidityRatioFromWetBulb } from './wet-bulb.ts';

interface Row {
  id: string;
  kind: string;
  quantity?: string;
  source: string;
  input: Record<string, number>;
  expected: Record<string, number | string>;
  tolerance: Record<string, number>;
  cross_check?: Record<string, number | null>;
}
const rows = reference.vectors as unknown as Row[];
const row = (quantity: string): Row[] => rows.filter((r) => r.quantity?.startsWith(quantity));

/** |got − want| within `relative` of want. */
const near = (got: number, want: number, relative: number, what: string): void => {
  expect(got, what).not.toBeNaN();
  expect(
    Math.abs((got as number) - want) / Math.abs(want),
    `${what}: ${got} against ${want}`,
  ).toBeLessThanOrEqual(relative);
};

describe('rows computed with psychrolib (ASHRAE Fundamentals 2017 ch. 1; no enhancement factor)', () => {
  const all = rows.filter((r) => r.kind === 'psychrolib');
  test('all 42 rows are there', () => expect(all).toHaveLength(42));
  for (const r of all) {
    const { t_c: t, rh_pct: rh, p_pa: p } = r.input as { t_c: number; rh_pct: number; p_pa: number };
    const want = r.expected as Record<string, number>;
    test(`${r.id}: ${t} °C, ${rh} %RH, ${p} Pa`, () => {
      // Below 0.01 °C the library takes RH over ice: there the row checks our ice functions.
      const ice = t < 0.01;
      const saturation = ice ? sublimationPressurePa(t) : saturationPressurePa(t);
      near(saturation, want['p_ws_pa'] as number, r.tolerance['p_ws_rel'] as number, 'saturation pressure');
      const vapour = saturation * rh * 0.01;
      near(
        vapourDensityGPerM3(t, vapour),
        want['abs_humidity_g_m3'] as number,
        r.tolerance['abs_humidity_rel'] as number,
        'vapour density',
      );
      near(
        humidityRatioKgPerKg(vapour, p),
        want['humidity_ratio_kg_kg'] as number,
        r.tolerance['humidity_ratio_rel'] as number,
        'humidity ratio',
      );
      near(
        moistAirDensityKgPerM3(t, vapour, p),
        want['moist_air_density_kg_m3'] as number,
        1e-4,
        'moist air density',
      );
      near(enthalpyKJPerKg(t, vapour, p), want['enthalpy_kj_per_kg_da'] as number, 6e-4, 'enthalpy');
      const dew = want['dew_point_c'] as number;
      // Below 0.01 °C what the library calls dew point is the frost point (its open issue 101).
      const ours = dew < 0.01 ? frostPointC(vapour) : saturationTemperatureC(vapour);
      expect(Math.abs((ours as number) - dew)).toBeLessThanOrEqual(r.tolerance['dew_point_abs_c'] as number);
      const check = r.cross_check ?? {};
      if (check['p_ws_pa_iapws95'] != null)
        near(saturationPressurePa(t), check['p_ws_pa_iapws95'], 7.5e-5, 'against IAPWS-95');
      if (check['dew_point_c_if97'] != null)
        expect(
          Math.abs((saturationTemperatureC(vapour) as number) - check['dew_point_c_if97']),
        ).toBeLessThanOrEqual(2e-5);
      // At the triple point itself (row psy-061) there is no frost point below water's own.
      if (check['frost_point_c_iapws_sublimation'] != null && vapour < TRIPLE_POINT_PA)
        expect(
          Math.abs((frostPointC(vapour) as number) - check['frost_point_c_iapws_sublimation']),
        ).toBeLessThanOrEqual(0.005);
      // Over supercooled water: Sonntag 1990 against IF97 extrapolated, 0.4 % of pressure, or 0.04 K, apart at −35 °C.
      if (check['dew_point_over_water_c_sonntag'] != null && dew < 0.01)
        expect(
          Math.abs((saturationTemperatureC(vapour) as number) - check['dew_point_over_water_c_sonntag']),
        ).toBeLessThanOrEqual(0.045);
    });
  }
});

describe('published values', () => {
  for (const r of [
    ...row('p_ws over liquid'),
    ...row('p_ws (ice'),
    ...row('IF97 region 4'),
    ...row('triple point'),
    ...row('IAPWS-95 saturation'),
  ])
    test(`${r.id}: ${r.source.slice(0, 90)}`, () => {
      const t = r.input['t_c'] as number;
      const got = t < 0.01 ? sublimationPressurePa(t) : saturationPressurePa(t);
      near(
        got,
        r.expected['p_ws_pa'] as number,
        r.tolerance['p_ws_rel'] ?? (r.tolerance['rel'] as number),
        'saturation pressure',
      );
      const density = r.expected['rho_sat_vapour_kg_m3'];
      if (typeof density === 'number')
        near(saturationDensityGPerM3(t) / 1000, density, r.tolerance['rho_rel'] as number, 'density');
    });

  for (const r of row('saturation humidity ratio'))
    test(`${r.id}: ${r.source.slice(0, 90)}`, () => {
      const t = r.input['t_c'] as number;
      const saturation = t < 0.01 ? sublimationPressurePa(t) : saturationPressurePa(t);
      const got = humidityRatioKgPerKg(saturation, r.input['p_pa']);
      near(
        got,
        r.expected['humidity_ratio_kg_kg'] as number,
        r.tolerance['humidity_ratio_rel'] as number,
        'humidity ratio',
      );
    });

  test('IF97 region 4 inverse: 0.1 MPa gives 372.755919 K (IAPWS-IF97 table 36)', () => {
    expect((saturationTemperatureC(1e5) as number) + 273.15).toBeCloseTo(372.755919, 6);
  });

  test('sublimation: 230 K gives 8.94735 Pa (IAPWS R14-08 table 3)', () => {
    near(sublimationPressurePa(230 - 273.15), 8.94735, 1e-6, 'sublimation pressure');
  });

  test('ASHRAE worked example 1: 40 °C dry bulb, 20 °C wet bulb', () => {
    const r = row('ASHRAE worked')[0] as Row;
    const W = humidityRatioFromWetBulb(40, 20, 101_325);
    const vapour = (101_325 * W) / (0.621945 + W);
    const want = r.expected as Record<string, number>;
    expect(Math.abs(W - (want['humidity_ratio_kg_kg'] as number))).toBeLessThanOrEqual(1e-4);
    expect(
      Math.abs((saturationTemperatureC(vapour) as number) - (want['dew_point_c'] as number)),
    ).toBeLessThanOrEqual(0.5);
    expect(
      Math.abs((100 * vapour) / saturationPressurePa(40) - (want['rh_pct'] as number)),
    ).toBeLessThanOrEqual(1);
    expect(
      Math.abs((enthalpyKJPerKg(40, vapour) as number) - (want['enthalpy_kj_per_kg_da'] as number)),
    ).toBeLessThanOrEqual(0.1);
  });

  test('over supercooled water: Murphy & Koop 2005 equation 10', () => {
    // Q. J. R. Meteorol. Soc. 131, 1539–1565, eq. 10, valid 123–332 K; coefficients from memory.
    for (const t of [-35, -30, -20, -10, -1]) {
      const T = t + 273.15;
      const ln =
        54.842763 -
        6763.22 / T -
        4.21 * Math.log(T) +
        0.000367 * T +
        Math.tanh(0.0415 * (T - 218.8)) * (53.878 - 1331.22 / T - 9.44523 * Math.log(T) + 0.014025 * T);
      near(saturationPressurePa(t), Math.exp(ln), 0.002, `${t} °C`);
    }
  });
});

describe('where quantities end', () => {
  test('RH 0: no vapour, no dew point, no exception', () => {
    expect(moistAir(70, 0)).toMatchObject({
      vapourPressurePa: 0,
      vapourDensityGPerM3: 0,
      humidityRatioKgPerKg: 0,
      dewPointC: null,
      frostPointC: null,
    });
  });
  test('no dry air is left at 100 °C and 100 %RH, and none at 120 °C', () => {
    expect(moistAir(100, 100)?.humidityRatioKgPerKg).toBeNull();
    expect(moistAir(120, 60)?.humidityRatioKgPerKg).toBeNull();
    expect(moistAirDensityKgPerM3(120, 1.2e5)).toBeNaN();
  });
  test('frost point stands only below the triple point pressure', () => {
    expect(frostPointC(611.657)).toBeNaN();
    expect(frostPointC(611.65)).toBeLessThan(0.01);
  });
  test('negative humidity and temperatures outside the formulas give no answer', () => {
    expect(moistAir(70, -0.1)).toBeNull();
    expect(moistAir(-41, 50)).toBeNull();
    expect(dewPointC(400, 1)).toBeNull();
    expect(Number.isNaN(saturationPressurePa(Number.NaN))).toBe(true);
  });
  test('both directions close: p(T(p)) over −39…130 °C, density and pressure', () => {
    for (let t = -39; t <= 130; t += 0.37) {
      expect(Math.abs((saturationTemperatureC(saturationPressurePa(t)) as number) - t)).toBeLessThan(1e-8);
      const vapour = vapourPressurePa(t, 37);
      near(vapourPressureFromDensityPa(t, vapourDensityGPerM3(t, vapour)), vapour, 1e-14, `${t} °C`);
    }
    for (let t = -90; t < 0; t += 0.37)
      expect(Math.abs((frostPointC(sublimationPressurePa(t)) as number) - t)).toBeLessThan(
        t > -60 ? 1e-5 : 1e-3,
      );
  });
});
