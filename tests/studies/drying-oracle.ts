/**
 * What no reading of air or mass can tell: humidity shows an activity, and what the polymer holds at it is the table's word.
 *
 * An estimate that knows the whole run to the digit, past and to come, but not its polymer's isotherm, is wrong by that
 * isotherm over the table's. It is centred on the middle of the polymers drawn and as wide as they spread, so that no table
 * and no estimator without a sample of the polymer could do better; judged beside the ways, it shows which aims are within reach.
 */
import { DRY_AT } from '../../server/estimators/drying/decision.ts';
import { normalCdf, normalQuantile } from '../../server/estimators/drying/normal.ts';
import { drawPolymer, equilibriumWtPercent, type Polymer } from '../../simulators/polymer-draw.ts';
import { NOMINAL_POLYMERS } from '../../simulators/polymers.ts';
import { seededRandom } from '../../simulators/random.ts';
import { CHECK_S, type DryingCase, type DryingRecord, HEAT_S, type Moment } from './drying-record.ts';
import { type Checkpoint, type Ratio, SHARES, type TrialRow } from './drying-trial.ts';

export const ORACLE = 'all known but the isotherm';
export const MISLED_ORACLE = `${ORACLE}, wrong table`;

/** Polymers that the spread is taken from; none of them is judged. */
const DRAWN_FROM = 500_000;
const DRAWN = 1000;
const Z95 = normalQuantile(0.95);

/** Ln of what this polymer holds over the table's line, in air in which the table's holds the limit. */
function lnOverTable({ material, setTemperatureC }: DryingCase, polymer: Polymer): number {
  const { lowSlopeWtPercent, limitWtPercent } = NOMINAL_POLYMERS[material];
  const activity = limitWtPercent / lowSlopeWtPercent;
  return Math.log(equilibriumWtPercent(polymer, setTemperatureC, activity) / limitWtPercent);
}

const spreads = new Map<string, { readonly mean: number; readonly sd: number }>();

function spreadOf(which: DryingCase): { readonly mean: number; readonly sd: number } {
  const kept = spreads.get(which.name);
  if (kept) return kept;
  const lns = Array.from({ length: DRAWN }, (_, i) => {
    const random = seededRandom(DRAWN_FROM + i).fork('polymer');
    return lnOverTable(which, drawPolymer(which.material, which.setTemperatureC, random));
  });
  const mean = lns.reduce((sum, ln) => sum + ln, 0) / DRAWN;
  const sd = Math.sqrt(lns.reduce((sum, ln) => sum + (ln - mean) ** 2, 0) / DRAWN);
  spreads.set(which.name, { mean, sd });
  return { mean, sd };
}

/**
 * The record as the oracle would have judged it: its rows stand beside those of the ways. `tableFactor` over a right table's
 * water, as in the ways with a wrong one (whose diffusivity does not touch an oracle).
 */
export function oracleRow(record: DryingRecord, tableFactor = 1): TrialRow {
  const { which, moments, dryS, stated, polymer } = record;
  const limit = stated.limitWtPercent;
  const { mean, sd } = spreadOf(which);
  /** Its median over the truth: one factor for the whole run. */
  const factor = tableFactor * Math.exp(mean - lnOverTable(which, polymer));
  const band: Ratio = [factor * Math.exp(-Z95 * sd), factor, factor * Math.exp(Z95 * sd)];
  const surely = (moment: Moment): number => normalCdf(Math.log(limit / (factor * moment.mean)) / sd);
  const endS = dryS ?? moments[moments.length - 1]!.s;
  const checks = SHARES.map((share): Checkpoint => {
    const s = Math.round((HEAT_S + share * (endS - HEAT_S)) / CHECK_S) * CHECK_S;
    const at = moments[s / CHECK_S - 1]!;
    const leftS = dryS === null ? 0 : dryS - s;
    const crosses = (over: number): number | null => {
      const found = moments.find((moment) => moment.s > HEAT_S && over * moment.mean < limit);
      return found ? (found.s - s) / leftS : null;
    };
    return {
      share,
      mean: band,
      wettest: band,
      truthOverLimit: at.mean / limit,
      pDry: surely(at),
      ready: [0, at.readyG / record.dryMassG],
      dryAt: leftS > 0 ? [crosses(band[0]), crosses(band[1]), crosses(band[2])] : null,
    };
  });
  // It has nothing to wait for: at its first crossing it knows all that it ever will.
  const called = moments.find((at) => at.s > HEAT_S && surely(at) >= DRY_AT);
  const twoHours = moments[(HEAT_S + 7200) / CHECK_S - 1];
  return {
    seed: record.seed,
    case: which.name,
    way: tableFactor === 1 ? ORACLE : MISLED_ORACLE,
    dryH: dryS === null ? null : (dryS - HEAT_S) / 3600,
    hours: (moments[moments.length - 1]!.s - HEAT_S) / 3600,
    checks,
    calledH: called ? (called.s - HEAT_S) / 3600 : null,
    calledTruth: called ? called.mean / limit : null,
    never: twoHours
      ? [1 - normalCdf(Math.log(limit / (factor * twoHours.floor)) / sd), twoHours.floor / limit]
      : null,
    rules: {},
  };
}
