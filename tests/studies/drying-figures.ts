/** From trial rows to the figures that the drying estimator is held to, and what of them is missed. */
import { normalCdf, normalQuantile } from '../../server/estimators/drying/normal.ts';
import type { Checkpoint, Ratio, TrialRow } from './drying-trial.ts';
import { median } from './proportion.ts';

export interface DryingFigures {
  readonly runs: number;
  readonly checks: number;
  readonly covered: number;
  readonly wettestCovered: number;
  readonly errors: readonly number[];
  readonly crps: number;
  readonly etaErrors: readonly number[];
  readonly etaChecks: number;
  readonly etaCovered: number;
  readonly called: number;
  readonly falseCalls: number;
  readonly dryable: number;
  /** Delay of each truly dry run as a share of its true time; never called: 9. */
  readonly delays: readonly number[];
  readonly neverHigh: readonly [said: number, of: number];
  readonly neverLow: readonly [said: number, of: number];
}

/** Truth over the limit beyond which a call was false. */
export const FALSE_OVER = 1.25;
const NEVER_SAID = 0.8;

const holds = ([p05, , p95]: Ratio): boolean => p05 <= 1 && p95 >= 1;

export function dryingFigures(rows: readonly TrialRow[]): DryingFigures {
  const checks = rows.flatMap((row) => row.checks);
  const halves = rows.flatMap((row) =>
    row.checks.filter(({ share, dryAt }) => share === 0.5 && dryAt !== null),
  );
  const called = rows.filter(({ calledH }) => calledH !== null);
  const dryable = rows.filter(({ dryH }) => dryH !== null);
  const nevers = rows.flatMap(({ never }) => (never ? [never] : []));
  const said = (those: typeof nevers): [number, number] => [
    those.filter(([pNever]) => pNever >= NEVER_SAID).length,
    those.length,
  ];
  return {
    runs: rows.length,
    checks: checks.length,
    covered: checks.filter(({ mean }) => holds(mean)).length,
    wettestCovered: checks.filter(({ wettest }) => holds(wettest)).length,
    errors: checks.map(({ mean }) => Math.abs(mean[1] - 1)),
    crps: checks.reduce((sum, { mean }) => sum + crpsOf(mean), 0) / checks.length,
    etaErrors: halves.map(({ dryAt }) => (dryAt![1] === null ? 9 : Math.abs(dryAt![1] - 1))),
    etaChecks: halves.length,
    etaCovered: halves.filter(etaHolds).length,
    called: called.length,
    falseCalls: called.filter(({ calledTruth }) => calledTruth! > FALSE_OVER).length,
    dryable: dryable.length,
    delays: dryable.map(({ dryH, calledH }) => (calledH === null ? 9 : (calledH - dryH!) / dryH!)),
    neverHigh: said(nevers.filter(([, floor]) => floor >= 1.4)),
    neverLow: said(nevers.filter(([, floor]) => floor <= 0.7)),
  };
}

/** A missing upper end reaches past every time; a missing lower end is past the truth. */
const etaHolds = ({ dryAt }: Checkpoint): boolean => {
  const [p05, , p95] = dryAt!;
  return p05 !== null && p05 <= 1 && (p95 === null || p95 >= 1);
};

/**
 * Continuous ranked probability score over the truth, of the lognormal through the three quantiles (two halves of unlike
 * width): E|X − 1| − ½E|X − X'| by 99 quantiles (Gneiting & Raftery, J. Am. Stat. Assoc. 102 (2007) 359, eq. 21).
 */
export function crpsOf([p05, p50, p95]: Ratio): number {
  const z95 = normalQuantile(0.95);
  const middle = Math.log(Math.max(1e-6, p50));
  const down = (middle - Math.log(Math.max(1e-6, p05))) / z95;
  const up = (Math.log(Math.max(1e-6, p95)) - middle) / z95;
  const N = 99;
  let away = 0;
  let spread = 0;
  for (let i = 0; i < N; i++) {
    const z = normalQuantile((i + 0.5) / N);
    const x = Math.exp(middle + z * (z < 0 ? down : up));
    away += Math.abs(x - 1) / N;
    spread += (x * (2 * i + 1 - N)) / (N * N);
  }
  return away - spread;
}

/** The same rows as an overconfident estimator would have left them: bands halved about the median, calls by them. */
export function halveBands(rows: readonly TrialRow[]): TrialRow[] {
  const halve = ([p05, p50, p95]: Ratio): Ratio => [Math.sqrt(p05 * p50), p50, Math.sqrt(p95 * p50)];
  return rows.map((row) => {
    const checks = row.checks.map((check) => ({
      ...check,
      mean: halve(check.mean),
      wettest: halve(check.wettest),
    }));
    // Called at the first checkpoint whose narrower band is surely below the limit.
    const call = checks.find(({ mean, truthOverLimit }) => sureBelow(mean, 1 / truthOverLimit) >= 0.9);
    const spanH = row.dryH ?? row.hours;
    return {
      ...row,
      checks,
      calledH: call ? call.share * spanH : row.calledH,
      calledTruth: call ? call.truthOverLimit : row.calledTruth,
    };
  });
}

const sureBelow = ([, p50, p95]: Ratio, limit: number): number =>
  normalCdf((Math.log(limit / p50) * normalQuantile(0.95)) / Math.log(p95 / p50));

/** An estimator that says the same of every spool at every time: its prior at the start. */
export function sayConstant(rows: readonly TrialRow[], fraction: number): TrialRow[] {
  return rows.map((row) => {
    const checks = row.checks.map((check) => {
      const said = fraction / check.truthOverLimit;
      const mean: Ratio = [0.7 * said, said, 1.4 * said];
      return { ...check, mean, wettest: mean, dryAt: check.dryAt && ([1, 1, 1] as const) };
    });
    return { ...row, checks, calledH: null, calledTruth: null };
  });
}

export interface Aims {
  readonly coverage: readonly [number, number];
  readonly wettest: number;
  readonly error: number;
  readonly crpsShare: number;
  readonly etaError: number;
  readonly etaCoverage: number;
  readonly falseShare: number;
  readonly delay: number;
}

export const AIMS: Readonly<Record<'T/RH' | 'mass', Aims>> = {
  'T/RH': {
    coverage: [0.88, 0.97],
    wettest: 0.88,
    error: 0.19,
    crpsShare: 0.75,
    etaError: 0.3,
    etaCoverage: 0.88,
    falseShare: 0.02,
    delay: 0.45,
  },
  mass: {
    coverage: [0.88, 0.99],
    wettest: 0.88,
    error: 0.14,
    crpsShare: 0.6,
    etaError: 0.25,
    etaCoverage: 0.88,
    falseShare: 0.01,
    delay: 0.45,
  },
};

/** CRPS over that of another way, on the runs that both saw. */
export function crpsOver(rows: readonly TrialRow[], other: readonly TrialRow[]): number {
  const seen = new Set(rows.map(({ seed }) => seed));
  const both = new Set(other.map(({ seed }) => seed).filter((seed) => seen.has(seed)));
  const shared = (those: readonly TrialRow[]) => dryingFigures(those.filter(({ seed }) => both.has(seed)));
  return shared(rows).crps / shared(other).crps;
}

/** Aims that these figures miss, in words; `slack` widens each for a study too small to be held to them. */
export function missedAims(f: DryingFigures, crpsShare: number, aims: Aims, slack = 0): string[] {
  const missed: string[] = [];
  const hold = (name: string, value: number, least: number, most: number): void => {
    if (!(value >= least - slack && value <= most + slack)) missed.push(`${name} ${value.toFixed(3)}`);
  };
  hold('coverage', f.covered / f.checks, aims.coverage[0], aims.coverage[1]);
  hold('wettest covered', f.wettestCovered / f.checks, aims.wettest, 1);
  hold('error', median(f.errors), 0, aims.error);
  hold('CRPS over prior only', crpsShare, 0, aims.crpsShare);
  hold('dry-at error', median(f.etaErrors), 0, aims.etaError);
  hold('dry-at covered', f.etaCovered / Math.max(1, f.etaChecks), aims.etaCoverage, 1);
  hold('false dry', f.falseCalls / Math.max(1, f.called), 0, aims.falseShare);
  hold('delay', median(f.delays), -9, aims.delay);
  return missed;
}
