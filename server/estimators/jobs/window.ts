/** A running job against its window: one look in, the job as it then stands out. */
import type { Quantiles } from '../drying/quantiles.ts';
import type { Excursion, ExcursionKind, Job, Measure, Tally } from './job.ts';

export interface JobFacts {
  readonly atMs: number;
  /** Null where no chamber is watched. */
  readonly chamber: {
    /** Null while it is quiet or its reading is no number. */
    readonly airC: number | null;
    readonly bedC: number | null;
    /** Its air while it is called steady; null otherwise. */
    readonly settledC: number | null;
    readonly quiet: boolean;
    readonly doorOpen: boolean;
  } | null;
  readonly box: {
    readonly airC: number | null;
    readonly rhPercent: number | null;
    readonly vapourGPerM3: number | null;
    readonly quiet: boolean;
    /** Moisture that the filament would take on in the box's air, wt %: as read, and at the dry end of the tolerance. */
    readonly equilibrium: { readonly likely: number; readonly atLeast: number } | null;
  };
  /** Of the turn being fed now. */
  readonly fed: Quantiles | null;
  readonly room: { readonly airC: number | null; readonly vapourGPerM3: number | null };
}

/** The chamber may wander this far from what was wanted, °C (judgement: a tenth of its rise over the room). */
export const CHAMBER_BAND_C = 3;
/** How long something must hold before it counts, and be gone before it is over (judgement). */
const DELAY_MS: Readonly<Record<ExcursionKind, number>> = {
  'feed-air': 600_000,
  'turn-too-wet': 600_000,
  'chamber-off': 120_000,
  door: 0,
  quiet: 60_000,
  pause: 0,
};
const EASE_MS = 60_000;
/** A job that leaves its window more often has told its story. */
export const MOST_EXCURSIONS = 200;
/** A look longer ago than this says nothing of the time between. */
const LONGEST_STEP_MS = 120_000;

/** Whether a kind holds now; null: cannot be told, and nothing begins or ends by it. */
interface Finding {
  readonly holds: boolean | null;
  readonly station: string | null;
  readonly worst: number | null;
  readonly limit: number | null;
  readonly unit: Excursion['unit'];
}

export function watchJob(job: Job, boxStation: string, facts: JobFacts): Job {
  if (job.state === 'ended' || facts.atMs <= job.atMs) return job;
  const stepMs = facts.atMs - job.atMs;
  const findings = judge(job, boxStation, facts);
  let { excursions } = job;
  const pending = { ...job.pending };
  const easing = { ...job.easing };
  for (const [kind, finding] of Object.entries(findings) as [ExcursionKind, Finding][]) {
    const open = excursions.findLast((one) => one.kind === kind && one.toMs === null);
    if (finding.holds === null) continue;
    if (finding.holds) {
      delete easing[kind];
      pending[kind] ??= facts.atMs;
      if (open) excursions = replace(excursions, open, { worst: worse(open, finding) });
      else if (facts.atMs - pending[kind] >= DELAY_MS[kind] && excursions.length < MOST_EXCURSIONS)
        excursions = [
          ...excursions,
          {
            kind,
            station: finding.station,
            fromMs: pending[kind],
            toMs: null,
            worst: finding.worst,
            limit: finding.limit,
            unit: finding.unit,
          },
        ];
    } else {
      delete pending[kind];
      if (!open) continue;
      easing[kind] ??= facts.atMs;
      if (DELAY_MS[kind] === 0 || facts.atMs - easing[kind] >= EASE_MS) {
        excursions = replace(excursions, open, { toMs: easing[kind] });
        delete easing[kind];
      }
    }
  }
  return {
    ...job,
    atMs: facts.atMs,
    // Over a stop of the program the print went on, whether or not it was seen.
    printedMs: job.printedMs + (job.state === 'running' ? stepMs : 0),
    // Without a wish it is held against what it settles at, not against a chamber that is still cold.
    referenceC: job.referenceC ?? facts.chamber?.settledC ?? null,
    fedWtPercent: facts.fed ?? job.fedWtPercent,
    excursions,
    pending,
    easing,
    measures: stepMs > LONGEST_STEP_MS ? job.measures : measure(job.measures, facts),
  };
}

function judge(job: Job, boxStation: string, facts: JobFacts): Readonly<Record<ExcursionKind, Finding>> {
  const { chamber, box, fed } = facts;
  const limit = job.limitWtPercent;
  const none = { worst: null, limit: null, unit: null };
  const off = chamber?.airC != null && job.referenceC !== null ? chamber.airC - job.referenceC : null;
  const quiet = box.quiet || (chamber?.quiet ?? false);
  return {
    'feed-air': {
      holds: box.equilibrium === null ? null : box.equilibrium.atLeast > limit,
      station: boxStation,
      worst: box.equilibrium?.likely ?? null,
      limit,
      unit: 'wt %',
    },
    'turn-too-wet': {
      holds: fed === null ? null : fed.p50 > limit,
      station: boxStation,
      worst: fed?.p50 ?? null,
      limit,
      unit: 'wt %',
    },
    'chamber-off': {
      holds: off === null ? null : Math.abs(off) > CHAMBER_BAND_C,
      station: job.plan.chamber,
      worst: chamber?.airC ?? null,
      limit: job.referenceC,
      unit: '°C',
    },
    door: { holds: chamber === null ? false : chamber.doorOpen, station: job.plan.chamber, ...none },
    quiet: { holds: quiet, station: box.quiet ? boxStation : job.plan.chamber, ...none },
    pause: { holds: job.state === 'paused', station: null, ...none },
  };
}

/** The further from the limit, the worse: for a chamber on either side, for moisture above. */
function worse(open: Excursion, { worst, limit }: Finding): number | null {
  if (worst === null || open.worst === null || limit === null) return open.worst ?? worst;
  return Math.abs(worst - limit) > Math.abs(open.worst - limit) ? worst : open.worst;
}

function replace(all: readonly Excursion[], old: Excursion, parts: Partial<Excursion>): readonly Excursion[] {
  return all.map((one) => (one === old ? { ...one, ...parts } : one));
}

function measure(before: Job['measures'], { chamber, box, fed, room }: JobFacts): Job['measures'] {
  const values: Readonly<Record<Measure, number | null>> = {
    chamberC: chamber?.airC ?? null,
    bedC: chamber?.bedC ?? null,
    boxC: box.airC,
    boxRhPercent: box.rhPercent,
    boxVapourGPerM3: box.vapourGPerM3,
    fedWtPercent: fed?.p50 ?? null,
    roomC: room.airC,
    roomVapourGPerM3: room.vapourGPerM3,
  };
  const after: Partial<Record<Measure, Tally>> = { ...before };
  for (const [key, value] of Object.entries(values) as [Measure, number | null][])
    if (value !== null && Number.isFinite(value)) after[key] = tally(after[key], value);
  return after;
}

function tally(before: Tally | undefined, value: number): Tally {
  if (!before) return { count: 1, sum: value, sumSquares: value * value, min: value, max: value };
  return {
    count: before.count + 1,
    sum: before.sum + value,
    sumSquares: before.sumSquares + value * value,
    min: Math.min(before.min, value),
    max: Math.max(before.max, value),
  };
}

export const meanOf = (tally: Tally | undefined): number | null => (tally ? tally.sum / tally.count : null);

export function sdOf(tally: Tally | undefined): number | null {
  if (!tally || tally.count < 2) return null;
  const mean = tally.sum / tally.count;
  return Math.sqrt(Math.max(0, tally.sumSquares / tally.count - mean * mean));
}
