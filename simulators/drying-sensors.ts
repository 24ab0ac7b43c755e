/** A drying run as its sensors tell it: readings of box and room every so often, truth beside them for a study. */
import type { DryingRun } from './drying-draw.ts';
import {
  type AirSensorErrors,
  airSensor,
  drawAirSensorErrors,
  drawLoadCellErrors,
  type LoadCellErrors,
  loadCell,
} from './sensors.ts';

export interface DryingReading {
  readonly elapsedS: number;
  readonly t: number;
  readonly rh: number;
  readonly m: number;
  readonly tm: number;
  readonly roomT: number;
  readonly roomRh: number;
}

export interface DryingSensors {
  /** Moves the truth on by `dtS` and reads all sensors at the end. */
  next(dtS: number): DryingReading;
  readonly errors: {
    readonly box: AirSensorErrors;
    readonly room: AirSensorErrors;
    readonly cell: LoadCellErrors;
  };
}

export interface DryingSensorOverrides {
  readonly box?: Partial<AirSensorErrors>;
  readonly room?: Partial<AirSensorErrors>;
  readonly cell?: Partial<LoadCellErrors>;
}

/** Sensors follow the air at least this often between readings. */
const SENSE_S = 10;

export function dryingSensors(run: DryingRun, given: DryingSensorOverrides = {}): DryingSensors {
  const { truth, random } = run;
  const errors = {
    box: drawAirSensorErrors(random.fork('box-errors'), given.box),
    room: drawAirSensorErrors(random.fork('room-errors'), given.room),
    cell: drawLoadCellErrors(random.fork('cell-errors'), given.cell),
  };
  const box = airSensor(errors.box, random.fork('box-noise'));
  const room = airSensor(errors.room, random.fork('room-noise'));
  const cell = loadCell(errors.cell, random.fork('cell-noise'));
  const sense = (dtS: number): void => {
    truth.step(dtS);
    box.sense(dtS, truth.airC, truth.airRhPercent);
    room.sense(dtS, truth.room.temperatureC, truth.room.rhPercent);
    cell.sense(dtS, truth.scaleG(), truth.airC, truth.heating);
  };
  return {
    errors,
    next(dtS) {
      const count = Math.max(1, Math.ceil(dtS / SENSE_S - 1e-9));
      for (let i = 0; i < count; i++) sense(dtS / count);
      return {
        elapsedS: truth.elapsedS,
        t: box.t,
        rh: box.rh,
        m: cell.m,
        tm: cell.tm,
        roomT: room.t,
        roomRh: room.rh,
      };
    },
  };
}
