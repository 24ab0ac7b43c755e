/**
 * What is believed of a chamber before the first reading: every unknown is a z with prior N(0, 1).
 *
 * Home-built enclosures of 50–120 L round a printer whose bed is the only heater (judgement: sheet or foam walls, 1–3 kg
 * of sheet metal near the air, 10–25 kg of frame and floor; a bed of 0.05 m² gives the air 1–3 W/K).
 */
import type { Chamber, SlowNodes } from './model.ts';

export const UNKNOWNS = [
  'bed',
  'leak',
  'frame',
  'floor',
  'wall-loss',
  'frame-loss',
  'floor-loss',
  'wall-time',
  'frame-time',
  'floor-time',
  'room',
  'bed-ramp',
  'bed-decay',
  'off-time',
  'wall-start',
  'frame-start',
  'floor-start',
  'change-1-leak',
  'change-1-bed',
  'change-2-leak',
  'change-2-bed',
  'change-3-leak',
  'change-3-bed',
] as const;
export type Unknown = (typeof UNKNOWNS)[number];
export const placeOf = Object.fromEntries(UNKNOWNS.map((name, place) => [name, place])) as Readonly<
  Record<Unknown, number>
>;

/** Changes of fan or vent that one run can hold; with more, the run begins anew at the latest. */
export const MOST_CHANGES = 3;

/** Medians, and sd of ln. */
export const PRIOR = {
  bed: [0.2, 0.5],
  bedUnmeasured: [0.2, 0.55],
  leak: [0.05, 0.6],
  frame: [0.18, 0.4],
  floor: [0.09, 0.4],
  wallLoss: [0.55, 0.4],
  frameLoss: [0.1, 0.5],
  floorLoss: [0.5, 0.5],
  wallTimeS: [800, 0.4],
  frameTimeS: [4500, 0.4],
  floorTimeS: [9000, 0.4],
  bedRampS: [480, 0.35],
  bedDecayS: [500, 0.4],
} as const;

/** Sd of the room's air about its sensor, or about the chamber's own before the heat came on, °C. */
const ROOM_MEASURED_C = 0.4;
const ROOM_GUESSED_C = 1.2;
/** Seen warm at first: the room is unknown and so is how far the slow parts have come. */
const ROOM_UNSEEN_C = 3;
export const ASSUMED_ROOM_C = 22;
/** Slow nodes at a cold start, °C about the room. */
const COLD_START_C = 0.5;
/** A bed that went off unseen did so about this long after the first of the blocks that show it began, s, and its sd. */
const OFF_AFTER_S = 40;
const OFF_SPREAD_S = 100;
/** Sd of a change: leak in ln, and bed likewise where the bed isn't measured. */
const CHANGE_LEAK = 1.3;
const CHANGE_BED = 0.12;

export interface SoakSetup {
  readonly station: string;
  /** Distance from the final value that still counts as there, °C. */
  readonly readyBandC: number;
  readonly readyDriftCPer10Min: number;
  /** Air at which the chamber may be opened after a job, °C. */
  readonly openBelowC?: number;
}

/** What a run knows beside its unknowns. */
export interface SoakFrame {
  readonly bedMeasured: boolean;
  readonly roomMeasured: boolean;
  readonly warmStart: boolean;
  /** Nodes at the first block where earlier ones were given up; null otherwise. */
  readonly carried: Readonly<SlowNodes> | null;
  /** The bed was at its level when the run began. */
  readonly ramped: boolean;
  readonly changes: number;
}

export interface Start {
  roomOffsetC: number;
  bedRampS: number;
  bedDecayS: number;
  /** When a bed that isn't measured went off, s after the start of the block in which that was first seen. */
  offAfterS: number;
  wallC: number;
  frameC: number;
  floorC: number;
  readonly changeLeak: Float64Array;
  readonly changeBed: Float64Array;
}

export const createStart = (): Start => ({
  roomOffsetC: 0,
  bedRampS: 0,
  bedDecayS: 0,
  offAfterS: 0,
  wallC: 0,
  frameC: 0,
  floorC: 0,
  changeLeak: new Float64Array(MOST_CHANGES),
  changeBed: new Float64Array(MOST_CHANGES),
});

export function activeUnknowns(frame: SoakFrame): Unknown[] {
  return UNKNOWNS.filter((name) => {
    if (name === 'bed-ramp') return !frame.bedMeasured && !frame.ramped;
    if (name === 'bed-decay' || name === 'off-time') return !frame.bedMeasured;
    const change = /^change-(\d)-(\w+)$/.exec(name);
    return !change || (Number(change[1]) <= frame.changes && (change[2] === 'leak' || !frame.bedMeasured));
  });
}

/** Sd of the room, °C, as this run knows it. */
export const roomSdC = (frame: SoakFrame): number =>
  frame.roomMeasured ? ROOM_MEASURED_C : frame.warmStart ? ROOM_UNSEEN_C : ROOM_GUESSED_C;

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

/** Chamber and start from the unknowns; `firstAirC` and `roomC` are those of the first block. */
export function applyUnknowns(
  frame: SoakFrame,
  z: Float64Array,
  firstAirC: number,
  roomC: number,
  chamber: Chamber,
  start: Start,
): void {
  const about = ([median, sdLn]: readonly [number, number], name: Unknown): number =>
    median * Math.exp(sdLn * z[placeOf[name]]!);
  chamber.bed = about(frame.bedMeasured ? PRIOR.bed : PRIOR.bedUnmeasured, 'bed');
  chamber.leak = about(PRIOR.leak, 'leak');
  chamber.frame = about(PRIOR.frame, 'frame');
  chamber.floor = about(PRIOR.floor, 'floor');
  chamber.floorLoss = about(PRIOR.floorLoss, 'floor-loss');
  chamber.floorTimeS = about(PRIOR.floorTimeS, 'floor-time');
  chamber.wallLoss = about(PRIOR.wallLoss, 'wall-loss');
  chamber.frameLoss = about(PRIOR.frameLoss, 'frame-loss');
  chamber.wallTimeS = about(PRIOR.wallTimeS, 'wall-time');
  chamber.frameTimeS = about(PRIOR.frameTimeS, 'frame-time');
  start.bedRampS = about(PRIOR.bedRampS, 'bed-ramp');
  start.bedDecayS = about(PRIOR.bedDecayS, 'bed-decay');
  start.offAfterS = OFF_AFTER_S + OFF_SPREAD_S * z[placeOf['off-time']]!;
  start.roomOffsetC = roomSdC(frame) * z[placeOf.room]!;
  const aboutRoomC = roomC + start.roomOffsetC;
  const wall = z[placeOf['wall-start']]!;
  const slow = z[placeOf['frame-start']]!;
  const floor = z[placeOf['floor-start']]!;
  if (frame.carried) {
    start.wallC = frame.carried.wallC + wall;
    start.frameC = frame.carried.frameC + slow;
    start.floorC = frame.carried.floorC + floor;
  } else if (frame.warmStart) {
    // Walls are near where air and room put them; the frame is anywhere on its way.
    const wallEndC = (firstAirC + chamber.wallLoss * aboutRoomC) / (1 + chamber.wallLoss);
    const frameEndC = (firstAirC + chamber.frameLoss * aboutRoomC) / (1 + chamber.frameLoss);
    start.wallC = aboutRoomC + (wallEndC - aboutRoomC) * logistic(1.5 + 1.5 * wall);
    start.frameC = aboutRoomC + (frameEndC - aboutRoomC) * logistic(2 * slow);
    const floorEndC = (firstAirC + chamber.floorLoss * aboutRoomC) / (1 + chamber.floorLoss);
    start.floorC = aboutRoomC + (floorEndC - aboutRoomC) * logistic(2 * slow + floor);
  } else {
    // Before the heat all stood in the air that was measured there.
    start.wallC = firstAirC + COLD_START_C * wall;
    start.frameC = firstAirC + COLD_START_C * slow;
    start.floorC = firstAirC + COLD_START_C * floor;
  }
  for (let change = 0; change < frame.changes; change++) {
    start.changeLeak[change] = Math.exp(CHANGE_LEAK * z[placeOf['change-1-leak'] + 2 * change]!);
    start.changeBed[change] = Math.exp(CHANGE_BED * z[placeOf['change-1-bed'] + 2 * change]!);
  }
}
