/** A heat-up's estimates against its truth: one row a run and way. Pure, so that other estimators are judged alike. */
import type { ChamberKind } from '../../simulators/chamber-draw.ts';
import { BAND_C, type SoakCase, type Truth } from './soak-run.ts';

interface Times {
  readonly p05: number | null;
  readonly p50: number | null;
  readonly p95: number | null;
}

/** What an estimator is judged by, at each check. */
export interface Judged {
  readonly s: number;
  readonly steady: boolean;
  readonly finalAirC: { readonly p05: number; readonly p50: number; readonly p95: number } | null;
  readonly steadyAtS: Times | null;
  /** When the chamber may be opened; absent: it says nothing of it. */
  readonly openAtS?: Times | null;
}

export const AFTER_MINUTES = [30, 60, 120] as const;

export interface SoakRow {
  readonly seed: number;
  readonly kind: ChamberKind;
  readonly way: string;
  /** First time from which the air truly stays within the band of its end, s after the heat came on; null: not in the run. */
  readonly trulyS: number | null;
  /** First call (of a fan run: first after the fan), s after the heat came on. */
  readonly calledS: number | null;
  /** Distance from the end at each call, °C. */
  readonly callsOffC: readonly number[];
  /** Calls after the heat went off. */
  readonly callsCooling: number;
  /** Checks in which it stood steady, and of those with the air more than 1.5 °C from its end. */
  readonly steadyChecks: number;
  readonly steadyFar: number;
  /** Error of the end's median and whether its band holds it, at 30, 60, 120 min of heat; null: not judged. */
  readonly finalErrorC: readonly (number | null)[];
  readonly finalCovered: readonly (boolean | null)[];
  /** Time of steadiness as foretold: relative error of the time left, and whether its band holds it. */
  readonly etaError: readonly (number | null)[];
  readonly etaCovered: readonly (boolean | null)[];
  readonly opening: Opening | null;
}

/** The opening after the heat went off; only of chambers that may not be opened at once. */
export interface Opening {
  /** s after the heat went off. */
  readonly trulyS: number;
  /** As foretold twenty minutes after it: median less truth, and whether the band holds the truth. */
  readonly errorS: number | null;
  readonly covered: boolean | null;
  /** When it said that it may be opened now, less truth; null: never. */
  readonly saidS: number | null;
}

const FORETOLD_AFTER_S = 1200;

function scoreOpening(run: SoakCase, judged: readonly Judged[]): Opening | null {
  const { kind, eventS, opensS } = run;
  if (kind !== 'off' || opensS === null || opensS - eventS! <= FORETOLD_AFTER_S) return null;
  const at = judged.find(({ s }) => s >= eventS! + FORETOLD_AFTER_S)?.openAtS ?? null;
  // It may be opened once nineteen in twenty draws say so; what is likely is not yet said.
  const said = judged.find(
    ({ s, openAtS }) => s > eventS! && (openAtS?.p95 ?? Number.POSITIVE_INFINITY) <= s,
  );
  return {
    trulyS: opensS - eventS!,
    errorS: at === null || at.p50 === null ? null : at.p50 - opensS,
    covered:
      at === null || at.p05 === null ? null : at.p05 <= opensS && (at.p95 === null || at.p95 >= opensS),
    saidS: said ? said.s - opensS : null,
  };
}

const far = (truth: Truth): number => Math.abs(truth.airC - truth.finalC);

/** From when on the air is within the band for good; doors don't count, nor what was before `fromS`. */
export function trulySteadyS(truth: readonly Truth[], fromS: number): number | null {
  let sinceS: number | null = null;
  for (let i = truth.length - 1; i >= 0; i--) {
    const now = truth[i]!;
    if (now.s < fromS) break;
    // A door's dip lasts a quarter of an hour beyond its shutting.
    const dip = truth.slice(Math.max(0, i - 4), i + 1).some(({ doorOpen }) => doorOpen);
    if (!dip && far(now) > BAND_C) break;
    if (!dip) sinceS = now.s;
  }
  return sinceS === truth[truth.length - 1]?.s ? null : sinceS;
}

export function scoreSoak(run: SoakCase, way: string, judged: readonly Judged[]): SoakRow {
  const { truth, kind, eventS, heatOnS } = run;
  const heated = truth.filter(({ heatOn }) => heatOn);
  const fanS = kind === 'fan' ? eventS! : 0;
  const trulyS = kind === 'off' ? null : trulySteadyS(heated, fanS);
  const callsOffC: number[] = [];
  let calledS: number | null = null;
  let callsCooling = 0;
  let steadyChecks = 0;
  let steadyFar = 0;
  let before = false;
  judged.forEach((now, i) => {
    const real = truth[i]!;
    if (now.steady) {
      steadyChecks++;
      if (far(real) > 1.5) steadyFar++;
      if (!before) {
        if (!real.heatOn) callsCooling++;
        else callsOffC.push(far(real));
      }
      if (real.heatOn && now.s >= fanS + 1 && calledS === null) calledS = now.s - heatOnS;
    }
    before = now.steady;
  });
  const at = AFTER_MINUTES.map((minutes) => {
    const s = heatOnS + 60 * minutes;
    const i = truth.findIndex((now) => now.s >= s);
    const real = truth[i];
    const said = judged[i];
    // With the heat off, or soon after a fan that nothing announced, the end is another question.
    if (!real?.heatOn || !said?.finalAirC || (kind === 'fan' && s < fanS + 1800 && s >= fanS)) return null;
    return { said, real };
  });
  const etas = at.map((both) => {
    if (!both || trulyS === null || both.real.s >= trulyS || (kind === 'fan' && both.real.s < fanS))
      return null;
    const left = trulyS - both.real.s;
    const { p05 = null, p50 = null, p95 = null } = both.said.steadyAtS ?? {};
    return {
      error: p50 === null ? Number.POSITIVE_INFINITY : Math.abs(p50 - trulyS) / left,
      covered: p05 !== null && p05 <= trulyS && (p95 === null || p95 >= trulyS),
    };
  });
  return {
    seed: run.seed,
    kind,
    way,
    trulyS: trulyS === null ? null : trulyS - heatOnS,
    calledS,
    callsOffC,
    callsCooling,
    steadyChecks,
    steadyFar,
    finalErrorC: at.map((both) => (both ? Math.abs(both.said.finalAirC!.p50 - both.real.finalC) : null)),
    finalCovered: at.map((both) =>
      both
        ? both.said.finalAirC!.p05 <= both.real.finalC && both.real.finalC <= both.said.finalAirC!.p95
        : null,
    ),
    etaError: etas.map((eta) => eta?.error ?? null),
    etaCovered: etas.map((eta) => eta?.covered ?? null),
    opening: scoreOpening(run, judged),
  };
}
