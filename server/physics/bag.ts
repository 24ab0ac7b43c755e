/**
 * How long a closed bag keeps a spool dry.
 *
 * WVTR tables are measured at 37.8 °C and 90 %RH (ASTM F1249 as practised). Scaling to a room: the driving vapour
 * pressure, and an activation energy of permeation of 33.5 kJ/mol for polyethylene (from memory).
 */
import { GAS_CONSTANT_J_PER_MOL_K, kelvin } from '../units.ts';
import { vapourPressurePa } from './psychrometrics.ts';

/** g·mil/(100 in²·day) at 38 °C/90 %RH, low and high (Biosystems Engineering, table 11.2). */
export const FILM_PERMEABILITY: Readonly<Record<string, readonly [number, number]>> = {
  ldpe: [1, 2],
  hdpe: [0.3, 0.6],
  'pp-oriented': [0.2, 0.5],
  pet: [1, 2],
  pa6: [10, 20],
  pc: [10, 15],
  ps: [7, 10],
};

/**
 * Laminates are rated as they are, g/(m²·day) at 38–40 °C/90 %RH, low and high (from memory): foil laminate, up to the
 * 0.3 that MIL-PRF-131 class 1 allows after flexing; moisture-barrier bags, up to the 0.031 of J-STD-033.
 */
export const LAMINATE_RATE_G_PER_M2_DAY: Readonly<Record<string, readonly [number, number]>> = {
  'flexed-foil': [0.03, 0.3],
  barrier: [0.005, 0.031],
};

/** 1 g/(100 in²·day) in g/(m²·day): 100 in² = 0.064516 m². */
const PER_M2 = 1 / 0.064516;
const MIL_UM = 25.4;
const TEST_TEMPERATURE_C = 37.8;
const PERMEATION_KJ_PER_MOL = 33.5;

/** g/(m²·day) of a film of one thickness at the test's 37.8 °C/90 %RH. */
export function filmRateGPerM2Day(permeability: number, thicknessUm: number): number {
  return (permeability * PER_M2 * MIL_UM) / thicknessUm;
}

/** The same film in a room: × Δp/Δp_test × exp[−(Ep/R)(1/T − 1/T_test)]. Inside is taken as dry: the safe side. */
export function roomRateGPerM2Day(
  testRateGPerM2Day: number,
  roomTemperatureC: number,
  roomRelativeHumidityPercent: number,
): number {
  const drive =
    vapourPressurePa(roomTemperatureC, roomRelativeHumidityPercent) /
    vapourPressurePa(TEST_TEMPERATURE_C, 90);
  const inverse = 1 / kelvin(roomTemperatureC) - 1 / kelvin(TEST_TEMPERATURE_C);
  const thermal = Math.exp(((-1000 * PERMEATION_KJ_PER_MOL) / GAS_CONSTANT_J_PER_MOL_K) * inverse);
  return testRateGPerM2Day * drive * thermal;
}

/** Days until the desiccant is full and then the spool has gained its allowance. */
export function bagLifeDays(
  inflowGPerDay: number,
  desiccantCapacityG: number,
  netMassG: number,
  allowedGainWtPercent: number,
): number {
  return (desiccantCapacityG + netMassG * allowedGainWtPercent * 0.01) / inflowGPerDay;
}
