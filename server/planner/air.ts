/** Air: what a temperature and a humidity say, how little of it a sensor makes sure, and what heating makes of it. */
import { moistAir } from '../physics/psychrometrics.ts';
import { saturationPressurePa } from '../physics/saturation.ts';
import {
  dewPointBand,
  type Tolerance,
  USUAL_TOLERANCE,
  vapourDensityBandGPerM3,
} from '../physics/tolerance.ts';
import type { PlanQuestion } from '../plan-fields.ts';
import type { Band, DewPointBand } from '../records.ts';
import type { PlanAnswer } from './plan-answer.ts';

export interface AirQuestion {
  readonly airTemperatureC: number;
  readonly relativeHumidityPercent: number;
  readonly pressureHPa: number;
}

export interface AirAnswer extends AirQuestion {
  readonly saturationPressurePa: number;
  readonly vapourPressurePa: number;
  readonly dewPointC: number | null;
  readonly dewPointBand: DewPointBand | null;
  readonly frostPointC: number | null;
  readonly vapourDensityGPerM3: number;
  readonly vapourDensityBandGPerM3: Band | null;
  readonly humidityRatioKgPerKg: number | null;
  readonly vapourPressureDeficitPa: number;
}

/** Answers a question within the ranges of the formulas; throws RangeError outside them. */
export function answerAir(question: AirQuestion, tolerance: Tolerance): AirAnswer {
  const { airTemperatureC, relativeHumidityPercent, pressureHPa } = question;
  const air = moistAir(airTemperatureC, relativeHumidityPercent, pressureHPa * 100);
  if (!air) throw new RangeError('The question lies outside the formulas.');
  return {
    airTemperatureC,
    relativeHumidityPercent,
    pressureHPa,
    saturationPressurePa: air.saturationPressurePa,
    vapourPressurePa: air.vapourPressurePa,
    dewPointC: air.dewPointC,
    dewPointBand: dewPointBand(airTemperatureC, relativeHumidityPercent, tolerance),
    frostPointC: air.frostPointC,
    vapourDensityGPerM3: air.vapourDensityGPerM3,
    vapourDensityBandGPerM3: vapourDensityBandGPerM3(airTemperatureC, relativeHumidityPercent, tolerance),
    humidityRatioKgPerKg: air.humidityRatioKgPerKg,
    vapourPressureDeficitPa: air.vapourPressureDeficitPa,
  };
}

export interface HeatedAirAnswer extends PlanAnswer<'air'> {
  readonly air: AirAnswer;
  /** The same air at the temperature it is heated to; above 100 it has lost water on the way. */
  readonly heatedRhPercent: Band & { readonly middle: number };
}

const POINTS = 81;
/** A lane of less shows nothing. */
const LEAST_SPAN_C = 20;

/** Heating keeps the vapour pressure: RH(T) = RH·p_sat(T0)/p_sat(T). The curve is the humidity against temperature. */
export function planAir(question: PlanQuestion<'air'>): HeatedAirAnswer {
  const { airTemperatureC, relativeHumidityPercent, heatedToC } = question;
  const tolerance = USUAL_TOLERANCE;
  const at = (temperatureC: number, rh: number): number =>
    (rh * saturationPressurePa(airTemperatureC)) / saturationPressurePa(temperatureC);
  const [low, high] = [-1, 1].map((sign) =>
    Math.min(100, Math.max(0, relativeHumidityPercent + sign * tolerance.rhPercent)),
  ) as [number, number];
  const [fromC, toC] =
    Math.abs(heatedToC - airTemperatureC) < LEAST_SPAN_C
      ? [airTemperatureC, Math.min(120, airTemperatureC + LEAST_SPAN_C)]
      : [Math.min(airTemperatureC, heatedToC), Math.max(airTemperatureC, heatedToC)];
  const temperatures = Array.from({ length: POINTS }, (_, i) => fromC + ((toC - fromC) * i) / (POINTS - 1));
  const column = (rh: number): number[] => temperatures.map((t) => Math.min(100, at(t, rh)));
  const middle = column(relativeHumidityPercent);
  return {
    kind: 'air',
    question,
    air: answerAir(question, tolerance),
    heatedRhPercent: {
      low: at(heatedToC, low),
      middle: at(heatedToC, relativeHumidityPercent),
      high: at(heatedToC, high),
    },
    curve: {
      at: temperatures,
      p05: column(low),
      p25: middle,
      p50: middle,
      p75: middle,
      p95: column(high),
      second: null,
    },
    assumptions: [
      `The humidity is right to ${tolerance.rhPercent} %RH and the temperature to ${tolerance.temperatureC} °C: what a usual sensor holds to.`,
      'Heating adds and takes no water: the vapour pressure stays.',
    ],
    notes: [],
    evidence: [
      {
        quantity: 'saturation pressure at the air’s temperature',
        value: saturationPressurePa(airTemperatureC),
        unit: 'Pa over liquid water',
        sources: ['IAPWS-IF97, region 4'],
        grade: 'high',
      },
    ],
  };
}
