/** The oracle on a drying record: its rows stand beside those of the ways. */
import { DRY_AT } from '../../server/estimators/drying/decision.ts';
import { normalCdf, normalQuantile } from '../../server/estimators/drying/normal.ts';
import { CHECK_S, type DryingRecord, HEAT_S, type Moment } from './drying-record.ts';
import { type Checkpoint, type Ratio, SHARES, type TrialRow } from './drying-trial.ts';
import { ORACLE, oracleView } from './isotherm-spread.ts';

export const MISLED_ORACLE = `${ORACLE}, wrong table`;

const Z95 = normalQuantile(0.95);

/**
 * The record as the oracle (isotherm-spread.ts) would have judged it. `tableFactor` over a right table's water, as in the ways with a wrong one (whose diffusivity does not touch an oracle).
 */
export function oracleRow(record: DryingRecord, tableFactor = 1): TrialRow {
  const { which, moments, dryS, stated, polymer } = record;
  const limit = stated.limitWtPercent;
  const view = oracleView(which.material, which.setTemperatureC, polymer);
  const factor = tableFactor * view.factor;
  const sd = view.sdLn;
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
