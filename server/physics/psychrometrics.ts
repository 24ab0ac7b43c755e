/**
 * Moist air from temperature and relative humidity. RH and dew point are over liquid water at all temperatures, as
 * sensors report them; the frost point is another quantity.
 *
 * Ideal-gas vapour, no enhancement factor: it would raise density and humidity ratio by 0.4–0.6 %, ten to two hundred
 * times less than a humidity sensor's own error, and it cancels in RH ↔ dew point (Hardy 1998; WMO-No. 8 annex 4.B).
 * Ideal-gas error of saturated vapour against IAPWS-95: 0.17 % (25 °C), 0.71 % (70 °C), 1.55 % (100 °C).
 */
import { kelvin, STANDARD_PRESSURE_PA, WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K } from '../units.ts';
import { frostPointC, saturationPressurePa, saturationTemperatureC } from './saturation.ts';

/** Ratio of the molar masses of water and dry air (ASHRAE Fundamentals 2017, ch. 1). */
const MASS_RATIO = 0.621945;
/** Specific gas constant of dry air, J/(kg·K) (ASHRAE Fundamentals 2017, ch. 1). */
const DRY_AIR_GAS_CONSTANT_J_PER_KG_K = 287.042;

/** What does not exist is null for whoever reads it. */
const orNull = (value: number): number | null => (Number.isNaN(value) ? null : value);

/** p_w = x·p_ws(t), Pa. NaN outside saturation's range. Negative RH gives a negative number: the caller decides. */
export function vapourPressurePa(airTemperatureC: number, relativeHumidityPercent: number): number {
  return saturationPressurePa(airTemperatureC) * relativeHumidityPercent * 0.01;
}

/** ρ_v = p_w/(R_v·T), g/m³. */
export function vapourDensityGPerM3(airTemperatureC: number, vapourPressure: number): number {
  return (1000 * vapourPressure) / (WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K * kelvin(airTemperatureC));
}

/** Inverse of the above: p_w = ρ_v·R_v·T, Pa. */
export function vapourPressureFromDensityPa(airTemperatureC: number, densityGPerM3: number): number {
  return 0.001 * densityGPerM3 * WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K * kelvin(airTemperatureC);
}

/** Vapour density of saturated air at a temperature, g/m³. */
export function saturationDensityGPerM3(airTemperatureC: number): number {
  return vapourDensityGPerM3(airTemperatureC, saturationPressurePa(airTemperatureC));
}

/** Dew point over liquid water, °C; null where there is none (RH ≤ 0, or under −40 °C). */
export function dewPointC(airTemperatureC: number, relativeHumidityPercent: number): number | null {
  return orNull(saturationTemperatureC(vapourPressurePa(airTemperatureC, relativeHumidityPercent)));
}

/** W = 0.621945·p_w/(p − p_w), kg/kg dry air (ASHRAE ch. 1 eq. 20). NaN where p_w ≥ p: no dry air is left. */
export function humidityRatioKgPerKg(vapourPressure: number, pressurePa = STANDARD_PRESSURE_PA): number {
  if (!(vapourPressure < pressurePa)) return Number.NaN;
  return (MASS_RATIO * vapourPressure) / (pressurePa - vapourPressure);
}

/** ρ = (1 + W)/v with v = 287.042·T·(1 + 1.607858·W)/p, kg/m³ (ASHRAE ch. 1 eq. 26). NaN where W is. */
export function moistAirDensityKgPerM3(
  airTemperatureC: number,
  vapourPressure: number,
  pressurePa = STANDARD_PRESSURE_PA,
): number {
  const W = humidityRatioKgPerKg(vapourPressure, pressurePa);
  const volumeM3PerKg =
    (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * kelvin(airTemperatureC) * (1 + 1.607858 * W)) / pressurePa;
  return (1 + W) / volumeM3PerKg;
}

/** h = 1.006·t + W·(2501 + 1.86·t), kJ/kg dry air (ASHRAE ch. 1 eq. 30). NaN where W is. */
export function enthalpyKJPerKg(
  airTemperatureC: number,
  vapourPressure: number,
  pressurePa = STANDARD_PRESSURE_PA,
): number {
  const W = humidityRatioKgPerKg(vapourPressure, pressurePa);
  return 1.006 * airTemperatureC + W * (2501 + 1.86 * airTemperatureC);
}

/** All that a temperature and a humidity say about air, before any tolerance. */
export interface MoistAir {
  readonly saturationPressurePa: number;
  readonly vapourPressurePa: number;
  readonly dewPointC: number | null;
  readonly frostPointC: number | null;
  readonly vapourDensityGPerM3: number;
  readonly humidityRatioKgPerKg: number | null;
  /** p_ws − p_w, Pa. */
  readonly vapourPressureDeficitPa: number;
}

/** Null where the temperature is outside saturation's range or the humidity is negative. */
export function moistAir(
  airTemperatureC: number,
  relativeHumidityPercent: number,
  pressurePa = STANDARD_PRESSURE_PA,
): MoistAir | null {
  const saturation = saturationPressurePa(airTemperatureC);
  if (Number.isNaN(saturation) || !(relativeHumidityPercent >= 0)) return null;
  const vapour = saturation * relativeHumidityPercent * 0.01;
  return {
    saturationPressurePa: saturation,
    vapourPressurePa: vapour,
    dewPointC: orNull(saturationTemperatureC(vapour)),
    frostPointC: orNull(frostPointC(vapour)),
    vapourDensityGPerM3: vapourDensityGPerM3(airTemperatureC, vapour),
    humidityRatioKgPerKg: orNull(humidityRatioKgPerKg(vapour, pressurePa)),
    vapourPressureDeficitPa: saturation - vapour,
  };
}
