/** A chamber run as its sensors tell it, truth beside it for a study. */
import type { ChamberRun } from './chamber-draw.ts';
import { type AirSensorErrors, airSensor, drawAirSensorErrors, surfaceProbe } from './sensors.ts';

export interface ChamberReading {
  readonly elapsedS: number;
  readonly t: number;
  readonly rh: number;
  readonly tb: number;
  /** Surface of the part. */
  readonly ts: number;
  readonly roomT: number;
}

export interface ChamberSensors {
  /** Moves the truth on by `dtS` and reads all sensors at the end. */
  next(dtS: number): ChamberReading;
}

const SENSE_S = 10;

export function chamberSensors(run: ChamberRun, given: Partial<AirSensorErrors> = {}): ChamberSensors {
  const { truth, random } = run;
  const air = airSensor(drawAirSensorErrors(random.fork('air-errors'), given), random.fork('air'));
  const room = airSensor(drawAirSensorErrors(random.fork('room-errors')), random.fork('room'));
  const bed = surfaceProbe(random.fork('bed'), 3);
  const part = surfaceProbe(random.fork('part'));
  const sense = (dtS: number): void => {
    truth.step(dtS);
    air.sense(dtS, truth.airC, truth.airRhPercent);
    room.sense(dtS, truth.room.temperatureC, truth.room.rhPercent);
    bed.sense(dtS, truth.bedC);
    part.sense(dtS, truth.partC);
  };
  return {
    next(dtS) {
      const count = Math.max(1, Math.ceil(dtS / SENSE_S - 1e-9));
      for (let i = 0; i < count; i++) sense(dtS / count);
      return { elapsedS: truth.elapsedS, t: air.t, rh: air.rh, tb: bed.t, ts: part.t, roomT: room.t };
    },
  };
}
