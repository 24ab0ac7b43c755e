/** All that a soak tracker remembers: plain JSON, so that a restart goes on with the same numbers. */
import {
  type Blocks,
  createBlocks,
  createOpenMinute,
  MINUTE_MS,
  type Minute,
  type OpenMinute,
} from './blocks.ts';
import type { EarlierFit } from './change.ts';
import { createDoorWatch, type DoorWatch } from './doors.ts';
import type { SlowNodes } from './model.ts';
import type { SoakPosterior } from './refit.ts';
import type { SoakSummary } from './summary.ts';

export interface SoakRun {
  /** Time of the first block's start; moves on where old blocks are given up. */
  startMs: number;
  /** When the heat came on, as shown. */
  readonly heatOnMs: number;
  readonly warmStart: boolean;
  ramped: boolean;
  carried: SlowNodes | null;
  /** Air before the first block, °C, and the room assumed where none is measured. */
  beforeC: number;
  assumedRoomC: number;
  readonly blocks: Blocks;
  /** Minutes of the block that is open. */
  pending: Minute[];
  changes: number[];
  offBlock: number | null;
  highestBedC: number;
  highestAirC: number;
  posterior: SoakPosterior | null;
  /** Latest first is last; a handful. */
  fits: EarlierFit[];
  straying: boolean;
  steadySinceMs: number | null;
  openSinceMs: number | null;
  summary: SoakSummary | null;
  /** Time that the summary speaks of. */
  summaryMs: number;
  slopeCPer10Min: number | null;
}

/** A heat-up that came to its end undisturbed: the next one is expected to be like it. Draw by draw. */
export interface LearnedHeatUp {
  /** From the heat's start, s. */
  readonly steadyS: readonly number[];
  readonly finalAirC: readonly number[];
  readonly roomC: number;
}

export interface SoakState {
  readonly version: 2;
  /** Latest time handed in. */
  atMs: number;
  heardMs: number | null;
  heardC: number;
  surfaceMs: number | null;
  surfaceC: number;
  /** The first minute has not been judged yet. */
  first: boolean;
  openedMs: number;
  open: OpenMinute;
  door: DoorWatch;
  minutes: Minute[];
  run: SoakRun | null;
  learned: LearnedHeatUp | null;
}

export function createSoakState(atMs: number): SoakState {
  return {
    version: 2,
    atMs,
    heardMs: null,
    heardC: 0,
    surfaceMs: null,
    surfaceC: 0,
    first: true,
    openedMs: Math.floor(atMs / MINUTE_MS) * MINUTE_MS,
    open: createOpenMinute(),
    door: createDoorWatch(),
    minutes: [],
    run: null,
    learned: null,
  };
}

export const createRun = (
  start: Pick<SoakRun, 'startMs' | 'warmStart' | 'ramped' | 'carried' | 'beforeC' | 'assumedRoomC'>,
): SoakRun => ({
  ...start,
  heatOnMs: start.startMs,
  blocks: createBlocks(),
  pending: [],
  changes: [],
  offBlock: null,
  highestBedC: Number.MIN_SAFE_INTEGER,
  highestAirC: Number.MIN_SAFE_INTEGER,
  posterior: null,
  fits: [],
  straying: false,
  steadySinceMs: null,
  openSinceMs: null,
  summary: null,
  summaryMs: start.startMs,
  slopeCPer10Min: null,
});
