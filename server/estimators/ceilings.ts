/**
 * Is anything too hot? The lowest ceiling among what is inside, with its reason, against the air now and the air foretold.
 *
 * Pure decisions with named outcomes. Nothing listed inside is "cannot tell", never a large number.
 */
import { CEILING_MARGIN_C, THINGS } from '../physics/things.ts';

/** One rating that applies, °C, and whose it is. */
export interface Rating {
  readonly name: string;
  readonly ceilingC: number;
  readonly reason: string;
  readonly source: 'user' | 'table' | 'hello';
}

/** Highest air that a sensor part is rated for, °C: the makers' data sheets' operating range (from memory). */
const SENSOR_RATINGS: Readonly<Record<string, number>> = {
  sht31: 125,
  sht35: 125,
  sht40: 125,
  sht41: 125,
  sht45: 125,
  bme280: 85,
  bmp280: 85,
  dht22: 80,
  am2302: 80,
  dht11: 50,
  ds18b20: 125,
  hdc1080: 125,
  si7021: 125,
  aht20: 85,
};

/** Reels that a bench file names, as the things table keys them. */
const REELS: Readonly<Record<'cardboard' | 'unknown', string>> = {
  cardboard: 'cardboard-reel',
  unknown: 'unknown-reel',
};

export interface Inside {
  /** Keys of the things table, as the bench file lists them. */
  readonly things: readonly string[];
  /** The user's own ceiling, °C: it replaces the table, for it is about this very chamber. */
  readonly userCeilingC: number | null;
  readonly reel: 'plastic' | 'cardboard' | 'unknown' | null;
  /** `part.*` values of hellos of this station's board. */
  readonly sensorParts: readonly string[];
}

/** Every rating that applies, lowest first. Things the table doesn't know are named in `unknown`. */
export function ratingsInside(inside: Inside): {
  readonly ratings: readonly Rating[];
  readonly unknown: readonly string[];
} {
  const ratings: Rating[] = [];
  const unknown: string[] = [];
  const keys = [...inside.things];
  if (inside.reel === 'cardboard' || inside.reel === 'unknown') keys.push(REELS[inside.reel]);
  for (const key of keys) {
    const thing = Object.hasOwn(THINGS, key) ? THINGS[key] : undefined;
    if (!thing) unknown.push(key);
    else if (inside.userCeilingC === null)
      ratings.push({ name: thing.name, ceilingC: thing.ceilingC, reason: thing.reason, source: 'table' });
  }
  if (inside.userCeilingC !== null)
    ratings.push({
      name: 'your own ceiling',
      ceilingC: inside.userCeilingC,
      reason: 'set for this station',
      source: 'user',
    });
  for (const part of inside.sensorParts) {
    const ceilingC = SENSOR_RATINGS[part.toLowerCase()];
    if (ceilingC === undefined) unknown.push(part);
    else
      ratings.push({
        name: `sensor ${part}`,
        ceilingC,
        reason: 'its maker’s operating range',
        source: 'hello',
      });
  }
  ratings.sort((a, b) => a.ceilingC - b.ceilingC);
  return { ratings, unknown };
}

export interface AirAhead {
  readonly airC: number;
  /** Upper end of what is foretold, with its time where it is reached along the path. */
  readonly finalP95C: number | null;
  /** Points of the forecast's upper edge, ascending. */
  readonly path: readonly { readonly atMs: number; readonly p50: number; readonly p95: number }[];
}

export type CeilingOutcome = 'clear' | 'near' | 'near-ahead' | 'passed' | 'cannot-tell';

export interface CeilingFinding {
  readonly outcome: CeilingOutcome;
  readonly reason: string;
  /** The rating that decides; null where nothing is listed or no air is known. */
  readonly rating: Rating | null;
  /** °C from the air to the ceiling; negative above it. */
  readonly headroomC: number | null;
  /** When the likeliest path passes the ceiling; null: it does not. */
  readonly crossesAtMs: number | null;
}

/**
 * Against a chamber's ceiling: `passed` at it; `near` within the margin; `near-ahead` where the foretold air's upper edge goes
 * above ceiling − margin; `cannot-tell` where nothing is listed, or the air is not known.
 */
export function judgeCeiling(
  inside: Inside,
  air: AirAhead | null,
  marginC = CEILING_MARGIN_C,
): CeilingFinding {
  const { ratings } = ratingsInside(inside);
  const rating = ratings[0] ?? null;
  // A sensor's rating says nothing of the parts beside it.
  const listed = ratings.some(({ source }) => source !== 'hello');
  const headroomC = rating && air && Number.isFinite(air.airC) ? rating.ceilingC - air.airC : null;
  const crossesAtMs =
    rating && air ? (air.path.find(({ p50 }) => p50 >= rating.ceilingC)?.atMs ?? null) : null;
  const answer = (outcome: CeilingOutcome, reason: string): CeilingFinding => ({
    outcome,
    reason,
    rating,
    headroomC,
    crossesAtMs,
  });
  if (rating === null) return answer('cannot-tell', 'nothing listed inside');
  if (air === null) return answer('cannot-tell', 'no air temperature');
  const what =
    rating.source === 'user'
      ? `your own ceiling (${rating.ceilingC} °C)`
      : `the ceiling of ${rating.name} (${rating.ceilingC} °C: ${rating.reason})`;
  if (air.airC >= rating.ceilingC) return answer('passed', `the air is at or above ${what}`);
  if (air.airC >= rating.ceilingC - marginC) return answer('near', `within ${marginC} °C of ${what}`);
  const highest = Math.max(air.finalP95C ?? Number.NEGATIVE_INFINITY, ...air.path.map(({ p95 }) => p95));
  if (highest > rating.ceilingC - marginC)
    return answer('near-ahead', `heading for ${Math.round(highest)} °C at most, near ${what}`);
  if (!listed) return answer('cannot-tell', 'nothing listed inside but sensors');
  return answer('clear', `below ${what}`);
}

/** A target judged before any heat: at once, from the target alone. */
export function judgeTarget(inside: Inside, targetC: number, marginC = CEILING_MARGIN_C): CeilingFinding {
  return judgeCeiling(inside, { airC: Number.NEGATIVE_INFINITY, finalP95C: targetC, path: [] }, marginC);
}

export interface DryerFacts {
  readonly airC: number | null;
  /** Highest drying temperature of the spool's material, °C; null: the material is not known. */
  readonly highestDryingC: number | null;
  readonly materialName: string;
  readonly inside: Inside;
}

export type DryerOutcome = 'clear' | 'near' | 'too-hot-for-material' | 'too-hot-inside' | 'cannot-tell';
export interface DryerFinding {
  readonly outcome: DryerOutcome;
  readonly reason: string;
  readonly limitC: number | null;
  /** What bears no more than that; null where nothing is known. */
  readonly whose: string | null;
}

/** Near: this close to what the material bears; drying is done close to it on purpose. */
const DRYER_NEAR_C = 2;

export function judgeDryer({ airC, highestDryingC, materialName, inside }: DryerFacts): DryerFinding {
  const rating = ratingsInside(inside).ratings[0] ?? null;
  const limits = [highestDryingC, rating?.ceilingC ?? null].filter((limit) => limit !== null);
  const limitC = limits.length > 0 ? Math.min(...limits) : null;
  const whose = limitC === null ? null : limitC === highestDryingC ? materialName : (rating?.name ?? null);
  const answer = (outcome: DryerOutcome, reason: string): DryerFinding => ({
    outcome,
    reason,
    limitC,
    whose,
  });
  if (airC === null) return answer('cannot-tell', 'no air temperature');
  if (highestDryingC !== null && airC > highestDryingC)
    return answer('too-hot-for-material', `${materialName} is dried at ${highestDryingC} °C at most`);
  if (rating && airC >= rating.ceilingC)
    return answer('too-hot-inside', `${rating.name}: ${rating.reason} (${rating.ceilingC} °C)`);
  if (limitC === null) return answer('cannot-tell', 'neither material nor anything inside is known');
  if (airC >= limitC - DRYER_NEAR_C) return answer('near', `within ${DRYER_NEAR_C} °C of ${limitC} °C`);
  return answer('clear', `below ${limitC} °C`);
}

export type HotterOutcome =
  | 'may-be-hotter'
  | 'at-the-limit'
  | 'reel-unknown'
  | 'material-unknown'
  | 'cannot-tell';
export interface HotterFinding {
  readonly outcome: HotterOutcome;
  /** To this at most, °C; null unless it may be hotter. */
  readonly toC: number | null;
  readonly reason: string;
}

/** May "hotter" be advised? Only where material and reel are both known, and only up to the lower of their limits. */
export function adviseHotter({ airC, highestDryingC, materialName, inside }: DryerFacts): HotterFinding {
  if (highestDryingC === null)
    return { outcome: 'material-unknown', toC: null, reason: 'the material is not known' };
  if (inside.reel === null || inside.reel === 'unknown')
    return { outcome: 'reel-unknown', toC: null, reason: 'what the reel is made of is not known' };
  if (airC === null) return { outcome: 'cannot-tell', toC: null, reason: 'no air temperature' };
  const rating = ratingsInside(inside).ratings[0] ?? null;
  const reelC = rating ? rating.ceilingC - CEILING_MARGIN_C : Number.POSITIVE_INFINITY;
  const toC = Math.min(highestDryingC, reelC);
  const whose = reelC < highestDryingC ? rating!.name : materialName;
  if (airC >= toC - DRYER_NEAR_C)
    return { outcome: 'at-the-limit', toC: null, reason: `${whose} bears ${toC} °C` };
  return { outcome: 'may-be-hotter', toC, reason: `${whose} bears ${toC} °C` };
}
