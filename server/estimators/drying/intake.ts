/** Readings into the open cell of a history, each into exactly one mean. */
import type { History } from './history.ts';
import { reducedSaturationGPerM3 } from './thermal-table.ts';

/** One set of values from the box. Null and absent: not measured. */
export interface BoxReading {
  readonly atMs: number;
  readonly airTemperatureC: number | null;
  readonly relativeHumidityPercent?: number | null;
  readonly massG?: number | null;
  readonly cellTemperatureC?: number | null;
}

export interface RoomReading {
  readonly atMs: number;
  readonly airTemperatureC: number | null;
  readonly relativeHumidityPercent: number | null;
}

export function takeBox(history: History, reading: BoxReading): void {
  const { open } = history;
  if (isNumber(reading.airTemperatureC)) {
    open.air += reading.airTemperatureC;
    open.airCount++;
  }
  const rh = reading.relativeHumidityPercent;
  if (isNumber(rh)) {
    open.rh += rh;
    open.rhCount++;
    // Exactly zero is what a clipping board writes; an unclipped sensor hardly ever hits it.
    if (rh === 0) open.zeroCount++;
    noteStep(history, rh);
  }
  if (isNumber(reading.massG)) {
    open.mass += reading.massG;
    open.massCount++;
  }
  if (isNumber(reading.cellTemperatureC)) {
    open.cell += reading.cellTemperatureC;
    open.cellCount++;
  }
}

/** Steps below this are rounding of the sum, not of the sensor, %RH. */
const LEAST_STEP_PERCENT = 0.001;

function noteStep(history: History, rhPercent: number): void {
  const step = Math.abs(rhPercent - (history.lastRhPercent ?? rhPercent));
  if (step > LEAST_STEP_PERCENT && step < (history.rhStepPercent ?? Number.POSITIVE_INFINITY))
    history.rhStepPercent = step;
  history.lastRhPercent = rhPercent;
}

export function takeRoom(history: History, airC: number, rhPercent: number): void {
  const { open } = history;
  open.roomC += airC;
  open.roomG += 0.01 * Math.max(1, rhPercent) * reducedSaturationGPerM3(airC);
  open.roomCount++;
}

export const isNumber = (value: number | null | undefined): value is number =>
  value !== null && value !== undefined && Number.isFinite(value);
