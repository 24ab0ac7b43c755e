/**
 * The tiers of history, and which of them answers a question: pure arithmetic.
 *
 * Readings are kept as they came for a week, as 10 s buckets for 90 days, as 5 min buckets for good. A bucket holds
 * least, sum, greatest and count, so that buckets can be joined again and a spike of one reading survives every joint.
 * Bucket times are their starts, whole multiples of the width since the Unix epoch, so that they lie still while a
 * chart is moved.
 */
export type TierName = 'raw' | 'ten_seconds' | 'five_minutes';

export interface Tier {
  readonly name: TierName;
  /** Readings themselves count as buckets of one millisecond. */
  readonly widthMs: number;
  readonly keepMs: number;
}

const DAY_MS = 86_400_000;
export const TIERS: readonly [Tier, Tier, Tier] = [
  { name: 'raw', widthMs: 1, keepMs: 7 * DAY_MS },
  { name: 'ten_seconds', widthMs: 10_000, keepMs: 90 * DAY_MS },
  { name: 'five_minutes', widthMs: 300_000, keepMs: Number.POSITIVE_INFINITY },
];
/** Readings are worked into the tiers in stretches of this: a multiple of every tier's width. */
export const ROLL_MS = 300_000;

/** No answer holds more: a wide screen has some 2,000 columns of pixels, and a chart stays quick. */
export const MAX_BUCKETS = 2000;

/** Widths a person can name; each at or above a tier's width is a multiple of it. */
const WIDTHS_MS: readonly number[] = [
  100,
  200,
  500,
  1000,
  2000,
  5000,
  10_000,
  20_000,
  30_000,
  60_000,
  120_000,
  300_000,
  600_000,
  900_000,
  1_800_000,
  3_600_000,
  7_200_000,
  14_400_000,
  21_600_000,
  43_200_000,
  DAY_MS,
  2 * DAY_MS,
  5 * DAY_MS,
  10 * DAY_MS,
  30 * DAY_MS,
  90 * DAY_MS,
  360 * DAY_MS,
];

export interface ReadPlan {
  readonly tier: Tier;
  readonly bucketMs: number;
}

/**
 * Up to when each tier has been emptied by retention: at or after it the tier is whole. Kept in the file rather than
 * reckoned from the clock, which may be wrong by years on a board without a battery.
 */
export type EmptiedMs = Readonly<Record<TierName, number>>;

export const isWholeFrom = (tier: Tier, fromMs: number, emptied: EmptiedMs): boolean =>
  fromMs >= emptied[tier.name];

/**
 * Plans a read of [fromMs, toMs) in at most `buckets`: the narrowest named width that fits, from the coarsest tier that
 * can give it; or a tier's rows as they are, where they are narrower and few enough.
 */
export function planRead(
  fromMs: number,
  toMs: number,
  buckets: number,
  emptied: EmptiedMs,
  hasAtMost: (tier: Tier, rows: number) => boolean,
): ReadPlan {
  const coarsest = TIERS[2];
  const whole = TIERS.filter((tier) => isWholeFrom(tier, fromMs, emptied) || tier === coarsest);
  const finest = whole[0] ?? coarsest;
  const bucketMs = widthFor(fromMs, toMs, buckets, finest.widthMs);
  const asTheyAre = whole.find((tier) => tier.widthMs < bucketMs && hasAtMost(tier, buckets));
  if (asTheyAre) return { tier: asTheyAre, bucketMs: asTheyAre.widthMs };
  const tier = whole.findLast((candidate) => candidate.widthMs <= bucketMs) ?? finest;
  return { tier, bucketMs };
}

function widthFor(fromMs: number, toMs: number, buckets: number, leastMs: number): number {
  const fits = (widthMs: number): boolean =>
    widthMs >= leastMs && Math.ceil(toMs / widthMs) - Math.floor(fromMs / widthMs) <= buckets;
  const named = WIDTHS_MS.find(fits);
  if (named !== undefined) return named;
  // Centuries in a handful of buckets.
  let widthMs = WIDTHS_MS.at(-1) as number;
  while (!fits(widthMs)) widthMs *= 2;
  return widthMs;
}

export const floorTo = (ms: number, widthMs: number): number => Math.floor(ms / widthMs) * widthMs;
