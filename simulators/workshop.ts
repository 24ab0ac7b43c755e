/**
 * A scenario made flesh: one room, the boxes and the chamber in it, and every station's sensors. Time only goes
 * forward; whoever asks a station for a reading moves the whole workshop to that time.
 */
import type { Fault } from '../firmware-protocol/line.ts';
import type { BoardReading } from './board.ts';
import { drawChamberRun } from './chamber-draw.ts';
import type { ChamberTruth } from './chamber-truth.ts';
import { type DryingRun, drawDryingRun } from './drying-draw.ts';
import { type Random, seededRandom } from './random.ts';
import { drawRoom, type RoomTruth, roomTruth } from './room-truth.ts';
import type { Scenario, ScenarioSpool, ScenarioStation } from './scenario.ts';
import {
  airSensor,
  drawAirSensorErrors,
  drawLoadCellErrors,
  faultAt,
  loadCell,
  type SensorFault,
  surfaceProbe,
} from './sensors.ts';

export interface Workshop {
  moveTo(elapsedS: number): void;
  read(station: string, atS: number): BoardReading;
  readonly room: RoomTruth;
  /** By station. */
  readonly boxes: ReadonlyMap<string, DryingRun>;
  readonly chamber: ChamberTruth | null;
  /** What a kitchen scale shows for a spool taken out for a moment: filament, water, reel. */
  weigh(spool: string, resolutionG: number): number;
}

interface StationSensors {
  sense(dtS: number): void;
  values(): Record<string, number>;
}

/** Truths move on this grid; sensors, whose lag is longer, follow it at every reading. */
const TRUTH_STEP_S = 5;

const span = ([from, to]: readonly [number, number]): { fromS: number; toS: number } => ({
  fromS: from * 3600,
  toS: to * 3600,
});

function buildBox(station: ScenarioStation, spool: ScenarioSpool, seed: number, room: RoomTruth): DryingRun {
  const box = station.box!;
  const polymer = {
    ...(spool.isothermScale === undefined ? {} : { isothermScale: spool.isothermScale }),
    ...(spool.diffusivityFactor === undefined ? {} : { diffusivityFactor: spool.diffusivityFactor }),
    ...(spool.lowSlopeFactor === undefined ? {} : { lowSlopeFactor: spool.lowSlopeFactor }),
  };
  return drawDryingRun(
    {
      material: spool.material,
      setTemperatureC: box.setTemperatureC,
      seed,
      polymer,
      storageRhPercent: spool.storageRhPercent,
      stored: spool.stored,
      fill: spool.netMassG / 1000,
      reel: spool.reel,
      reelMassG: spool.reelMassG,
      ventLPerMin: box.ventLPerMin,
      airVolumeL: box.airVolumeL,
      heatAtS: box.heatAtH * 3600,
      heaterOff: box.heaterOffH.map(span),
      lids: box.lidsH.map(span),
      limitWtPercent: spool.limitWtPercent,
      ...(spool.innerRatio === undefined ? {} : { innerRatio: spool.innerRatio }),
    },
    room,
  );
}

export function openWorkshop(scenario: Scenario, seed = scenario.seed): Workshop {
  const random = seededRandom(seed).fork(scenario.name);
  const roomSpec = drawRoom(random.fork('room-spec'), scenario.room);
  const room = roomTruth(roomSpec, random.fork('room'));
  const boxes = new Map<string, DryingRun>();
  let chamber: ChamberTruth | null = null;
  for (const station of scenario.stations) {
    const own = random.fork(station.id).below(0x7fff_ffff);
    if (station.box !== undefined) {
      const spool = scenario.spools.find((one) => one.station === station.id)!;
      boxes.set(station.id, buildBox(station, spool, own, room));
    }
    if (station.chamber !== undefined) {
      const { bedTargetC, bedOnH, bedOffH, doorsH, insulated } = station.chamber;
      chamber = drawChamberRun(
        {
          seed: own,
          bedTargetC,
          bedOnS: bedOnH * 3600,
          ...(bedOffH === null ? {} : { bedOffS: bedOffH * 3600 }),
          doors: doorsH.map(span),
          insulated,
        },
        room,
      ).truth;
    }
  }
  const faults: SensorFault[] = scenario.faults.map((fault) => ({ ...fault, ...span(fault.atH) }));
  const sensors = new Map<string, StationSensors>();
  for (const station of scenario.stations)
    sensors.set(
      station.id,
      stationSensors(station, random.fork(`sensors-${station.id}`), { room, boxes, chamber }),
    );

  let elapsedS = 0;
  let truthS = 0;
  const step = (dtS: number): void => {
    elapsedS += dtS;
    while (truthS < elapsedS) {
      truthS += TRUTH_STEP_S;
      for (const run of boxes.values()) run.truth.step(TRUTH_STEP_S);
      chamber?.step(TRUTH_STEP_S);
      room.moveTo(truthS);
    }
    for (const station of sensors.values()) station.sense(dtS);
  };
  for (const station of sensors.values()) station.sense(1);
  const kitchen = random.fork('kitchen-scale');

  const workshop: Workshop = {
    room,
    boxes,
    chamber,
    moveTo(atS) {
      while (elapsedS < atS - 1e-9) step(Math.min(TRUTH_STEP_S, atS - elapsedS));
    },
    read(id, atS) {
      workshop.moveTo(atS);
      const values: Record<string, number> = {};
      const failed: Record<string, Fault> = {};
      for (const [key, value] of Object.entries(sensors.get(id)!.values())) {
        const fault = faultAt(faults, id, key, atS);
        if (fault === null) values[key] = value;
        else failed[key] = fault;
      }
      return { values, faults: failed };
    },
    weigh(spoolId, resolutionG) {
      const spool = scenario.spools.find((one) => one.id === spoolId)!;
      const shown = boxes.get(spool.station)!.truth.scaleG() + kitchen.normal(0, 0.3 * resolutionG);
      return Math.round(shown / resolutionG) * resolutionG;
    },
  };
  return workshop;
}

function stationSensors(
  station: ScenarioStation,
  random: Random,
  truths: { room: RoomTruth; boxes: ReadonlyMap<string, DryingRun>; chamber: ChamberTruth | null },
): StationSensors {
  const air = airSensor(drawAirSensorErrors(random.fork('air-errors')), random.fork('air'));
  const cell = loadCell(drawLoadCellErrors(random.fork('cell-errors')), random.fork('cell'));
  const surface = surfaceProbe(random.fork('surface'));
  const bed = surfaceProbe(random.fork('bed'), 3);
  const { room, chamber } = truths;
  const box = truths.boxes.get(station.id)?.truth;
  const sense = (dtS: number): void => {
    if (box !== undefined) {
      air.sense(dtS, box.airC, box.airRhPercent);
      cell.sense(dtS, box.scaleG(), box.airC, box.heating);
      surface.sense(dtS, box.outerC());
    } else if (station.role === 'chamber' && chamber !== null) {
      air.sense(dtS, chamber.airC, chamber.airRhPercent);
      surface.sense(dtS, chamber.partC);
      bed.sense(dtS, chamber.bedC);
    } else if (station.role === 'electronics' && chamber !== null) {
      air.sense(dtS, chamber.bayC, chamber.bayRhPercent);
      surface.sense(dtS, chamber.bayC);
    } else {
      air.sense(dtS, room.temperatureC, room.rhPercent);
      surface.sense(dtS, room.temperatureC);
    }
  };
  return {
    sense,
    values() {
      const all = { t: air.t, rh: air.rh, m: cell.m, tm: cell.tm, ts: surface.t, tb: bed.t };
      const values: Record<string, number> = {};
      for (const key of station.sensors) values[key] = all[key];
      return values;
    },
  };
}
