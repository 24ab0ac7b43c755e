/**
 * A job: a print from its start to its outcome. What was planned, what the air and the filament did meanwhile, and when
 * something left the window in which it should have stayed. Plain JSON, so that a restart goes on with it.
 */
import type { Quantiles } from '../drying/quantiles.ts';

export interface JobPlan {
  readonly id: string;
  readonly name: string;
  readonly spool: string;
  /** Station whose air the part stands in; null: none is watched. */
  readonly chamber: string | null;
  readonly grams: number;
  readonly hours: number;
  /** Air wanted in the chamber, °C; null: what it settles at. */
  readonly chamberC: number | null;
  readonly exitOpen: boolean;
  /** Free facts of the attempt: nozzle, speed, adhesive, … */
  readonly settings: Readonly<Record<string, string | number>>;
}

export const EXCURSION_KINDS = ['feed-air', 'turn-too-wet', 'chamber-off', 'door', 'quiet', 'pause'] as const;
export type ExcursionKind = (typeof EXCURSION_KINDS)[number];

/** A time out of the window. `worst` and `limit` in `unit`; null where the kind has no number. */
export interface Excursion {
  readonly kind: ExcursionKind;
  readonly station: string | null;
  readonly fromMs: number;
  readonly toMs: number | null;
  readonly worst: number | null;
  readonly limit: number | null;
  readonly unit: '°C' | 'wt %' | null;
}

/** What is measured all through a job. */
export const MEASURES = [
  'chamberC',
  'bedC',
  'boxC',
  'boxRhPercent',
  'boxVapourGPerM3',
  'fedWtPercent',
  'roomC',
  'roomVapourGPerM3',
] as const;
export type Measure = (typeof MEASURES)[number];

export interface Tally {
  readonly count: number;
  readonly sum: number;
  readonly sumSquares: number;
  readonly min: number;
  readonly max: number;
}

export const OUTCOMES = ['good', 'warped', 'stringy', 'weak', 'stopped'] as const;
export type JobOutcome = (typeof OUTCOMES)[number];

export interface Verdict {
  readonly outcome: JobOutcome;
  readonly note: string;
}

export interface Job {
  readonly version: 1;
  readonly plan: JobPlan;
  readonly state: 'running' | 'paused' | 'ended';
  readonly startedMs: number;
  readonly endedMs: number | null;
  /** Latest time that it knows of. */
  readonly atMs: number;
  /** Time printed, without pauses. */
  readonly printedMs: number;
  /** Air that the chamber is held against, °C; null before one was wished for or settled at. */
  readonly referenceC: number | null;
  readonly limitWtPercent: number;
  /** The spool's filament as it was stated when the job began, g. */
  readonly statedNetMassG: number;
  /** g that earlier jobs had taken off it by then. */
  readonly takenBeforeG: number;
  /** P(every turn under the limit as it leaves) as it stood at the start; null where it could not be told. */
  readonly pSpoolAtStart: number | null;
  readonly fedWtPercent: Quantiles | null;
  readonly excursions: readonly Excursion[];
  /** Since when something may be out of its window: not an excursion before its delay. */
  readonly pending: Readonly<Partial<Record<ExcursionKind, number>>>;
  /** Since when an open excursion may be over. */
  readonly easing: Readonly<Partial<Record<ExcursionKind, number>>>;
  readonly measures: Readonly<Partial<Record<Measure, Tally>>>;
  readonly verdict: Verdict | null;
}

export function startJob(
  plan: JobPlan,
  atMs: number,
  given: Pick<Job, 'referenceC' | 'limitWtPercent' | 'pSpoolAtStart' | 'statedNetMassG' | 'takenBeforeG'>,
): Job {
  return {
    version: 1,
    plan,
    state: 'running',
    startedMs: atMs,
    endedMs: null,
    atMs,
    printedMs: 0,
    ...given,
    fedWtPercent: null,
    excursions: [],
    pending: {},
    easing: {},
    measures: {},
    verdict: null,
  };
}

/** Grams fed so far, if it goes at an even pace; the plan's whole when it has ended in its time. */
export function fedG(job: Job): number {
  return job.plan.grams * Math.min(1, job.printedMs / (job.plan.hours * 3_600_000));
}

export function endJob(job: Job, atMs: number): Job {
  if (job.state === 'ended') return job;
  return {
    ...job,
    state: 'ended',
    endedMs: atMs,
    atMs,
    pending: {},
    easing: {},
    excursions: job.excursions.map((one) => (one.toMs === null ? { ...one, toMs: atMs } : one)),
  };
}
