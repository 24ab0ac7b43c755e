/** When a chamber may be opened after a job: the air cool enough, and nothing in it much warmer than the air. */
import { BLOCK_S, isThere, MINUTE_MS, type Minute } from './blocks.ts';
import { bedRate, movePart, type PartRates, seenPart, unseenPart } from './part.ts';
import { PRIOR } from './priors.ts';
import type { Forcing, Workbench } from './simulate.ts';

/** Below this the parts of a job no longer warp from a draught (judgement). */
export const OPEN_BELOW_C = 45;
/** Slow parts further from the air than this still carry heat worth waiting for, °C (judgement). */
export const OPEN_SPREAD_C = 10;

/** Sd of ln of a rate beside what the minutes say of it: neither bed nor part is one lump. */
const RATE_ERROR = 0.1;
/** Sd of what air and surface sensor, and a surface that isn't the warmest, make of the difference, °C. */
const DIFFERENCE_ERROR_C = 0.6;
/** A probe taped to a part follows it by about so long, s (judgement). */
const PROBE_LAG_S = 25;

export interface OpeningRule {
  readonly openBelowC: number;
  /** A part's surface as last measured; null: none is. */
  readonly surfaceC: number | null;
  /** The latest minutes. */
  readonly minutes: readonly Minute[];
}

/** By how much air or a slow part is too warm for opening, °C; zero or less: it may be opened. */
export const tooWarmByC = (
  { openBelowC }: Pick<OpeningRule, 'openBelowC'>,
  airC: number,
  slowC: number,
): number => Math.max(airC - openBelowC, slowC - airC - OPEN_SPREAD_C);

/** The part in one draw: where it is, and how it goes on. */
export interface PartAhead {
  readonly partC: number;
  readonly rates: PartRates;
  readonly bedDecayS: number;
  /** For how long air and part, in this draw, have been cool enough, s; null: they are not. */
  readonly openForS: number | null;
}

/** Standard throws a draw. */
export const PART_THROWS = 5;

/** Made once a refit; the answer, once a draw, with the bench at the end of its past. */
export function partsAhead(
  rule: OpeningRule,
  forcing: Forcing,
  offMs: number,
): (bench: Workbench, throws: ArrayLike<number>) => PartAhead {
  const { minutes, surfaceC } = rule;
  const bedSeen = !Number.isNaN(forcing.bedC[forcing.count - 1]!);
  const believed = 1 / PRIOR.bedDecayS[0];
  const rate = bedRate(minutes, offMs, { mean: believed, sd: believed * PRIOR.bedDecayS[1] });
  const seen = surfaceC === null || !bedSeen ? null : seenPart(minutes, ({ bedC }) => bedC);
  return (bench, throws) => {
    const [z1, z2, z3, z4, z5] = [throws[0]!, throws[1]!, throws[2]!, throws[3]!, throws[4]!];
    const decay = bedSeen ? 1 / Math.max(0.2 * believed, rate.mean + rate.sd * z3) : bench.start.bedDecayS;
    const bedDecayS = decay * Math.exp(RATE_ERROR * z4);
    const { pull, loss } = seen ? seen(z1, z2) : unseenPart(z1, z2);
    const rates = { pull: pull * Math.exp(-RATE_ERROR * z4), loss: loss * Math.exp(-RATE_ERROR * z4) };
    const errorC = DIFFERENCE_ERROR_C * z5;
    const { partC, openForS } =
      surfaceC === null ? pastOfPart(rule, forcing, bench, rates) : measuredPast(rule, surfaceC, errorC);
    return { partC, rates, bedDecayS, openForS };
  };
}

interface PastOfPart {
  readonly partC: number;
  readonly openForS: number | null;
}

/** A part through the blocks since the heat went off; before that it had come to rest between bed and air. */
function pastOfPart(rule: OpeningRule, forcing: Forcing, bench: Workbench, rates: PartRates): PastOfPart {
  const last = forcing.count - 1;
  const first = Math.max(0, Math.min(last, forcing.offBlock!) - 1);
  const { airC } = forcing;
  const bedC = (i: number): number => (Number.isNaN(forcing.bedC[i]!) ? bench.bedsC[i]! : forcing.bedC[i]!);
  let partC = airC[first]! + (rates.pull / rates.loss) * (bedC(first) - airC[first]!);
  const excess: number[] = [];
  for (let i = first + 1; i <= last; i++) {
    partC = movePart(rates, partC, airC[i]!, 0.5 * (bedC(i - 1) + bedC(i)), BLOCK_S);
    // Half a block lies between a mean and the block's end.
    const endC = airC[i]! + 0.5 * (i < last ? airC[i + 1]! - airC[i]! : airC[i]! - airC[i - 1]!);
    excess.push(tooWarmByC(rule, endC, partC));
  }
  return { partC, openForS: belowSinceS(excess, BLOCK_S) };
}

/** A measured part; its probe shows where it was a little earlier. */
function measuredPast(rule: OpeningRule, surfaceC: number, errorC: number): PastOfPart {
  const measured = rule.minutes.filter((minute) => isThere(minute.airC) && isThere(minute.surfaceC));
  const perMinuteC = (i: number): number => measured[i]!.surfaceC - measured[Math.max(0, i - 1)]!.surfaceC;
  const ahead = (i: number): number => errorC + (PROBE_LAG_S * 1000 * perMinuteC(i)) / MINUTE_MS;
  const last = measured.length - 1;
  const excess = measured.map(({ airC, surfaceC: atC }, i) => tooWarmByC(rule, airC, atC + ahead(i)));
  return {
    partC: surfaceC + (last < 0 ? errorC : ahead(last)),
    openForS: belowSinceS(excess, MINUTE_MS / 1000),
  };
}

/** For how long evenly spaced values, the last of them now, have been below zero; null: the last is not. */
function belowSinceS(values: readonly number[], spacingS: number): number | null {
  const above = values.findLastIndex((value) => value >= 0);
  if (above === values.length - 1) return null;
  const sinceS = (values.length - 1 - (above + 1)) * spacingS;
  if (above < 0) return sinceS;
  const after = values[above + 1]!;
  return sinceS + (spacingS * after) / (after - values[above]!);
}
