/** A heat-up as the model's parts ask for it: what is measured, what it was driven by, what the opening waits for. */
import { isThere, recentSlopeCPer10Min } from './blocks.ts';
import { OPEN_BELOW_C, type OpeningRule } from './opening.ts';
import type { SoakFrame, SoakSetup } from './priors.ts';
import { buildForcing, type Forcing } from './simulate.ts';
import type { SoakRun, SoakState } from './state.ts';

/** The slope's window: 20 min, three blocks of it measured with the door shut. */
const SLOPE_BLOCKS = 5;
const LEAST_SLOPE_BLOCKS = 3;
export const openingOf = (setup: SoakSetup, state: SoakState): OpeningRule => ({
  openBelowC: setup.openBelowC ?? OPEN_BELOW_C,
  surfaceC: state.surfaceMs !== null && state.atMs - state.surfaceMs < 600_000 ? state.surfaceC : null,
  minutes: state.minutes,
});

export const frameOf = (run: SoakRun): SoakFrame => ({
  bedMeasured: run.blocks.bedC.some(isThere),
  roomMeasured: run.blocks.roomC.some(isThere),
  warmStart: run.warmStart,
  carried: run.carried,
  ramped: run.ramped,
  changes: run.changes.length,
});

export const forcingOf = (run: SoakRun): Forcing =>
  buildForcing(run.blocks, run.beforeC, run.assumedRoomC, run.changes, run.offBlock);

export const slopeOf = ({ blocks }: SoakRun): number | null =>
  recentSlopeCPer10Min(blocks, SLOPE_BLOCKS, LEAST_SLOPE_BLOCKS);
