/**
 * What no reading of air or mass can tell: humidity shows an activity, and what the polymer holds at it is the table's word.
 *
 * An oracle that knows a whole run to the digit, past and to come, but not its polymer's isotherm, is wrong by that isotherm
 * over the table's. It is centred on the middle of the polymers drawn and as wide as they spread, so that no table and no
 * estimator without a sample of the polymer could do better; judged beside the ways, it shows which aims are within reach.
 */
import { drawPolymer, equilibriumWtPercent, type Polymer } from '../../simulators/polymer-draw.ts';
import { type MaterialKey, NOMINAL_POLYMERS } from '../../simulators/polymers.ts';
import { seededRandom } from '../../simulators/random.ts';

export const ORACLE = 'all known but the isotherm';

export interface OracleView {
  /** Its median over the truth: one factor for the whole run. */
  readonly factor: number;
  /** Sd of ln about it. */
  readonly sdLn: number;
}

/** Polymers that the spread is taken from; none of them is judged. */
const DRAWN_FROM = 500_000;
const DRAWN = 1000;

const spreads = new Map<string, { readonly mean: number; readonly sd: number }>();

export function oracleView(material: MaterialKey, temperatureC: number, polymer: Polymer): OracleView {
  const { mean, sd } = spreadOf(material, temperatureC);
  return { factor: Math.exp(mean - lnOverTable(material, temperatureC, polymer)), sdLn: sd };
}

/** Ln of what this polymer holds over the table's line, in air in which the table's holds the limit. */
function lnOverTable(material: MaterialKey, temperatureC: number, polymer: Polymer): number {
  const { lowSlopeWtPercent, limitWtPercent } = NOMINAL_POLYMERS[material];
  const activity = limitWtPercent / lowSlopeWtPercent;
  return Math.log(equilibriumWtPercent(polymer, temperatureC, activity) / limitWtPercent);
}

function spreadOf(
  material: MaterialKey,
  temperatureC: number,
): { readonly mean: number; readonly sd: number } {
  const name = `${material} ${temperatureC}`;
  const kept = spreads.get(name);
  if (kept) return kept;
  const lns = Array.from({ length: DRAWN }, (_, i) => {
    const polymer = drawPolymer(material, temperatureC, seededRandom(DRAWN_FROM + i).fork('polymer'));
    return lnOverTable(material, temperatureC, polymer);
  });
  const mean = lns.reduce((sum, ln) => sum + ln, 0) / DRAWN;
  const sd = Math.sqrt(lns.reduce((sum, ln) => sum + (ln - mean) ** 2, 0) / DRAWN);
  spreads.set(name, { mean, sd });
  return { mean, sd };
}
