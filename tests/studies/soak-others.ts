/** What the soak estimator is held against, on the same runs: slope rules, one exponential, a constant, an overconfident one. */
import type { SoakTimesMs } from '../../server/estimators/soak/estimate.ts';
import { BAND_C, type Seen, type SoakCase } from './soak-run.ts';
import type { Judged } from './soak-score.ts';

const seconds = (ms: number | null): number | null => (ms === null ? null : ms / 1000);

const inSeconds = ({ p05, p50, p95 }: SoakTimesMs): Judged['steadyAtS'] => ({
  p05: seconds(p05),
  p50: seconds(p50),
  p95: seconds(p95),
});

export const judgeEstimator = (seen: readonly Seen[]): Judged[] =>
  seen.map(({ s, estimate: { state, finalAirC, steadyAtMs, openAtMs } }) => ({
    s,
    steady: state === 'steady',
    finalAirC,
    steadyAtS: inSeconds(steadyAtMs),
    openAtS: inSeconds(openAtMs),
  }));

/** Checks in 20 min. */
const WINDOW = 5;
/** Before it the air has not begun to rise. */
const FIRST_CHECKS = 8;

/** Steady once the air has risen and its slope over 20 min is under a mark, °C per 10 min. */
export const judgeSlope = (run: SoakCase, limit: number): Judged[] =>
  run.measuredC.map((_airC, i) => {
    const drift = slopeCPer10Min(run.measuredC, i);
    return {
      s: run.truth[i]!.s,
      steady: i >= FIRST_CHECKS && Math.abs(drift) < limit,
      finalAirC: null,
      steadyAtS: null,
    };
  });

function slopeCPer10Min(values: readonly number[], at: number): number {
  if (at < WINDOW - 1) return Number.POSITIVE_INFINITY;
  const window = values.slice(at - WINDOW + 1, at + 1);
  const middle = (WINDOW - 1) / 2;
  let sum = 0;
  let square = 0;
  window.forEach((value, k) => {
    sum += (k - middle) * value;
    square += (k - middle) ** 2;
  });
  return (sum / square) * (600 / 240);
}

/** One exponential through three means of 20 min, 20 min apart: its end is T3 − (T3 − T2)²/((T3 − T2) − (T2 − T1)). */
export const judgeExponential = (run: SoakCase): Judged[] =>
  run.measuredC.map((airC, i) => {
    const s = run.truth[i]!.s;
    const mean = (back: number): number => {
      const to = i + 1 - back * WINDOW;
      return run.measuredC.slice(to - WINDOW, to).reduce((sum, value) => sum + value, 0) / WINDOW;
    };
    if (i < FIRST_CHECKS + 3 * WINDOW) return { s, steady: false, finalAirC: null, steadyAtS: null };
    const later = mean(0) - mean(1);
    const earlier = mean(1) - mean(2);
    const endC =
      Math.abs(later - earlier) < 1e-6 || later / earlier >= 1
        ? airC + 20
        : mean(0) - later ** 2 / (later - earlier);
    const steady = Math.abs(endC - airC) < BAND_C && Math.abs(slopeCPer10Min(run.measuredC, i)) < 0.5;
    return { s, steady, finalAirC: { p05: endC - 1.5, p50: endC, p95: endC + 1.5 }, steadyAtS: null };
  });

/** Knows nothing: every chamber ends at 50 °C and is steady after three hours. */
export const judgeConstant = (run: SoakCase): Judged[] =>
  run.truth.map(({ s }) => ({
    s,
    steady: s - run.heatOnS >= 3 * 3600,
    finalAirC: { p05: 48, p50: 50, p95: 52 },
    steadyAtS: { p05: 9000, p50: 10_800, p95: 12_600 },
  }));

/** The estimator's own centre with a fifth of its band, and steady as soon as that centre says so. */
export const judgeOverconfident = (run: SoakCase, seen: readonly Seen[]): Judged[] =>
  judgeEstimator(seen).map((judged, i) => {
    const end = judged.finalAirC;
    if (!end) return judged;
    const narrow = (edge: number): number => end.p50 + 0.2 * (edge - end.p50);
    return {
      ...judged,
      steady: i > FIRST_CHECKS && Math.abs(end.p50 - run.measuredC[i]!) < BAND_C,
      finalAirC: { p05: narrow(end.p05), p50: end.p50, p95: narrow(end.p95) },
    };
  });
