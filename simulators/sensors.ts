/**
 * What sensors make of the truth: offset, gain, lag, noise, resolution, drift after heat, faults. Values are never
 * clipped: a sensor in very dry hot air may well say −1.2 %RH.
 *
 * Figures: RH offset 1.5 %RH and gain 2 % (sd) inside makers' "typical ±1.8 %RH"; lag τ63 8 s (data sheets: 4–8 s in
 * moving air); after hot hours −1 to −2 %RH that goes away within 1–3 days (a maritime probe's manual); load cells
 * 0.05 g noise and creep of 0.05–0.1 % of full scale in 30 min (makers' sheets), temperature coefficient of the order
 * of 0.03 g/K after compensation (judgement).
 */
import type { Fault } from '../firmware-protocol/line.ts';
import type { Random } from './random.ts';

export interface AirSensor {
  /** Follows the air; call at least once per reading. */
  sense(dtS: number, airC: number, rhPercent: number): void;
  /** As sent, rounded to the sensor's resolution. */
  readonly t: number;
  readonly rh: number;
}

export interface AirSensorErrors {
  readonly rhOffsetPercent: number;
  readonly rhGain: number;
  readonly temperatureOffsetC: number;
  readonly lagS: number;
  readonly rhNoisePercent: number;
  readonly temperatureNoiseC: number;
  /** Offset reached after many hot hours, %RH (negative). */
  readonly afterHeatPercent: number;
}

export function drawAirSensorErrors(random: Random, given: Partial<AirSensorErrors> = {}): AirSensorErrors {
  const drawn: AirSensorErrors = {
    rhOffsetPercent: random.normal(0, 1.5),
    rhGain: random.normal(1, 0.02),
    temperatureOffsetC: random.normal(0, 0.15),
    lagS: 8,
    rhNoisePercent: 0.03,
    temperatureNoiseC: 0.02,
    afterHeatPercent: random.uniform(-1, -0.2),
  };
  return { ...drawn, ...given };
}

/** Heat counts above this; it builds up over hours and goes back over two days at rest (see head). */
const HOT_C = 55;
const HEAT_BUILDS_S = 8 * 3600;
const HEAT_FADES_S = 2 * 24 * 3600;

const to = (value: number, resolution: number): number =>
  // −0 would be written "-0.00".
  Math.round(value / resolution) * resolution + 0;

export function airSensor(errors: AirSensorErrors, random: Random): AirSensor {
  let feltC = Number.NaN;
  let feltRh = Number.NaN;
  let heatShare = 0;
  const sensor = {
    t: 0,
    rh: 0,
    sense(dtS: number, airC: number, rhPercent: number) {
      const follow = Number.isNaN(feltC) ? 1 : 1 - Math.exp(-dtS / errors.lagS);
      feltC = Number.isNaN(feltC) ? airC : feltC + (airC - feltC) * follow;
      feltRh = Number.isNaN(feltRh) ? rhPercent : feltRh + (rhPercent - feltRh) * follow;
      heatShare +=
        airC > HOT_C
          ? (1 - heatShare) * (1 - Math.exp(-dtS / HEAT_BUILDS_S))
          : -heatShare * (1 - Math.exp(-dtS / HEAT_FADES_S));
      const rh =
        feltRh * errors.rhGain +
        errors.rhOffsetPercent +
        errors.afterHeatPercent * heatShare +
        random.normal(0, errors.rhNoisePercent);
      sensor.rh = to(rh, 0.01);
      sensor.t = to(feltC + errors.temperatureOffsetC + random.normal(0, errors.temperatureNoiseC), 0.01);
    },
  };
  return sensor;
}

export interface LoadCell {
  sense(dtS: number, massG: number, airC: number, fanRunning: boolean): void;
  readonly m: number;
  readonly tm: number;
}

export interface LoadCellErrors {
  readonly tareG: number;
  readonly perKG: number;
  readonly creepG: number;
  readonly creepS: number;
  readonly noiseG: number;
  readonly wanderG: number;
  readonly fanLiftG: number;
  /** How far the cell's body follows the box: 1 inside, 0.1–0.3 behind a labyrinth. */
  readonly warmth: number;
}

export function drawLoadCellErrors(random: Random, given: Partial<LoadCellErrors> = {}): LoadCellErrors {
  const drawn: LoadCellErrors = {
    tareG: random.normal(0, 100),
    perKG: random.normal(0, 0.03),
    creepG: random.normal(0, 0.3),
    creepS: 2 * 3600,
    noiseG: 0.05,
    wanderG: 0.08,
    fanLiftG: random.uniform(0, 0.6),
    warmth: random.uniform(0.6, 1),
  };
  return { ...drawn, ...given };
}

const CELL_HEAT_S = 900;
const WANDER_S = 4 * 3600;
const CELL_REFERENCE_C = 25;

export function loadCell(errors: LoadCellErrors, random: Random): LoadCell {
  let bodyC = Number.NaN;
  let loadedS = 0;
  let wander = random.normal(0, errors.wanderG);
  const cell = {
    m: 0,
    tm: 0,
    sense(dtS: number, massG: number, airC: number, fanRunning: boolean) {
      const target = CELL_REFERENCE_C + errors.warmth * (airC - CELL_REFERENCE_C);
      bodyC = Number.isNaN(bodyC) ? target : bodyC + (target - bodyC) * (1 - Math.exp(-dtS / CELL_HEAT_S));
      loadedS += dtS;
      const keep = Math.exp(-dtS / WANDER_S);
      wander = keep * wander + random.normal(0, errors.wanderG * Math.sqrt(1 - keep * keep));
      const shown =
        massG +
        errors.tareG +
        errors.perKG * (bodyC - CELL_REFERENCE_C) +
        errors.creepG * (1 - Math.exp(-loadedS / errors.creepS)) -
        (fanRunning ? errors.fanLiftG : 0) +
        wander +
        random.normal(0, errors.noiseG);
      cell.m = to(shown, 0.01);
      cell.tm = to(bodyC + random.normal(0, 0.05), 0.01);
    },
  };
  return cell;
}

export interface SurfaceProbe {
  sense(dtS: number, surfaceC: number): void;
  readonly t: number;
}

/** A digital probe in a sleeve: 0.0625 °C steps, slow, offset within ±0.5 °C (maker's limit, from memory). */
export function surfaceProbe(random: Random, lagS = 25): SurfaceProbe {
  const offsetC = random.normal(0, 0.2);
  let feltC = Number.NaN;
  const probe = {
    t: 0,
    sense(dtS: number, surfaceC: number) {
      feltC = Number.isNaN(feltC) ? surfaceC : feltC + (surfaceC - feltC) * (1 - Math.exp(-dtS / lagS));
      probe.t = to(feltC + offsetC + random.normal(0, 0.03), 0.0625);
    },
  };
  return probe;
}

/** When a key cannot be given, or is given wrongly though in good faith. Times are the story's. */
export interface SensorFault {
  readonly station: string;
  readonly key: string;
  readonly fault: Fault;
  readonly fromS: number;
  readonly toS: number;
}

export function faultAt(
  faults: readonly SensorFault[],
  station: string,
  key: string,
  elapsedS: number,
): Fault | null {
  for (const fault of faults) {
    if (fault.station === station && fault.key === key && elapsedS >= fault.fromS && elapsedS < fault.toS)
      return fault.fault;
  }
  return null;
}
