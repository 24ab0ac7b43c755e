/** All that a drying tracker remembers: plain JSON, so that a restart goes on with the same numbers. */

import type { AirSupply } from '../../physics/floor.ts';
import { createHistory, type History } from './history.ts';
import type { Holding } from './holding.ts';
import { createLidWatch, type LidWatch } from './lids.ts';
import type { CarriedStart } from './priors.ts';
import type { Posterior } from './refit.ts';
import type { WeighIn } from './residuals.ts';
import type { Summary } from './summary.ts';
import { UNKNOWNS } from './unknowns.ts';

/** Where the spool is: in the box unheated, in a drying run, lying out, in a closed bag. */
export type Phase = 'watching' | 'running' | 'out' | 'bagged';

export interface RunState {
  readonly startMs: number;
  readonly warmStart: boolean;
  readonly carried: CarriedStart | null;
  readonly beforeC: number;
  readonly history: History;
  readonly weighIns: WeighIn[];
  supply: AirSupply;
  posterior: Posterior | null;
  /** The next fit begins from the prior: what the last one was made from has been taken back. */
  fitAnew?: boolean;
  /** Run time of the latest refit, s. */
  fittedS: number;
  /** Refits running with pDry at or above the mark. */
  dryRefits: number;
  dryCalledS: number | null;
  /** Highest block mean seen, °C, and since when the box has been cool (run time, s; null: it is warm). */
  hottestC: number;
  coolSinceS: number | null;
}

/** What the next fit begins from; null: the prior. */
export const fitFrom = (run: RunState): Posterior | null => (run.fitAnew ? null : run.posterior);

export interface DryingState {
  readonly version: 1;
  phase: Phase;
  /** Latest time handed in. */
  atMs: number;
  /** Latest box reading with a temperature; null before the first. */
  heardMs: number | null;
  heardC: number;
  lastRoom: { atMs: number; airC: number; rhPercent: number } | null;
  lid: LidWatch;
  /** Since when the unheated box is watched, and its minutes. */
  watch: { startMs: number; history: History; sawCold: boolean } | null;
  holding: Holding;
  /** Up to when the holding members were carried on; null: not yet. */
  heldMs: number | null;
  holdingSinceMs: number | null;
  run: RunState | null;
  /** Of the last run, for members that are held now. */
  lastPosterior: Posterior | null;
  lastPriors: { warmStart: boolean; carried: CarriedStart | null; roomKnown: boolean } | null;
  learnedMean: number[];
  learnedSd: number[];
  seedMs: number;
  summary: Summary | null;
  /** Time that the summary speaks of. */
  summaryMs: number;
  weighIns: { atMs: number; massG: number; resolutionG: number }[];
}

export function createDryingState(atMs: number): DryingState {
  return {
    version: 1,
    phase: 'watching',
    atMs,
    heardMs: null,
    heardC: 23,
    lastRoom: null,
    lid: createLidWatch(),
    watch: null,
    holding: { modes: null, temperatureC: 23 },
    heldMs: null,
    holdingSinceMs: null,
    run: null,
    lastPosterior: null,
    lastPriors: null,
    learnedMean: new Array<number>(UNKNOWNS.length).fill(0),
    learnedSd: new Array<number>(UNKNOWNS.length).fill(1),
    seedMs: atMs,
    summary: null,
    summaryMs: atMs,
    weighIns: [],
  };
}

export const createRunHistory = createHistory;
