/**
 * The part on the bed, and the bed under it, while the chamber cools: what the opening waits for.
 *
 * Letters: T part, T_a air, T_b bed, °C; s share of the bed in what the part follows; τ its time, s; τ_b the bed's, s.
 * Part: τ·dT/dt = T_a + s·(T_b − T_a) − T. Bed, once off: τ_b·dT_b/dt = −c·(T_b − T_a), c as the frame's convection.
 * Both are straight lines in 1/τ_b and in (s/τ, 1/τ): measured minutes give them a normal posterior in closed form.
 */
import { isThere, MINUTE_MS, type Minute } from './blocks.ts';
import { convection } from './model.ts';

/** Rates per s. */
export interface PartRates {
  /** s/τ. */
  readonly pull: number;
  /** 1/τ. */
  readonly loss: number;
}

/**
 * A part of which nothing is measured: 20 to 300 g of plastic on a bed (judgement; spread tuned on seeds below 1,000).
 * Median and sd of ln τ; middle and sd of s on the logistic scale.
 */
const PART_TIME_S = 450;
const PART_TIME_SD_LN = 0.55;
const PART_SHARE_MIDDLE = 0.75;
const PART_SHARE_SD = 0.5;
/** What is believed of a measured one before its own minutes speak: sd of both rates as a share of them. */
const RATE_SD = 0.6;
/** Sd of what two minutes of a surface, and of a bed, differ from the lines above, °C. */
const STEP_ERROR_C = 0.15;
const BED_STEP_ERROR_C = 0.6;
const STEP_MINUTES = 2;
const LONGEST_TIME_S = 7200;
const SHORTEST_TIME_S = 60;

export function unseenPart(zTime: number, zShare: number): PartRates {
  const loss = Math.exp(-PART_TIME_SD_LN * zTime) / PART_TIME_S;
  return { loss, pull: loss / (1 + Math.exp(-(PART_SHARE_MIDDLE + PART_SHARE_SD * zShare))) };
}

/** Where a part has come after `dtS` beside this air and bed. */
export function movePart(
  { pull, loss }: PartRates,
  partC: number,
  airC: number,
  bedC: number,
  dtS: number,
): number {
  const followsC = airC + (pull / loss) * (bedC - airC);
  return followsC + (partC - followsC) * Math.exp(-loss * dtS);
}

/** A rate known to be about `mean`, sd `sd`. */
export interface Rate {
  readonly mean: number;
  readonly sd: number;
}

/** 1/τ_b of a bed that is off, from its own minutes; `before` is believed where they say little. */
export function bedRate(minutes: readonly Minute[], fromMs: number, before: Rate): Rate {
  let information = 1 / before.sd ** 2;
  let sum = before.mean * information;
  for (const [earlier, later, excess] of steps(minutes, fromMs)) {
    if (!isThere(earlier.bedC) || !isThere(later.bedC)) continue;
    const fall = earlier.bedC - later.bedC;
    const x = excess((minute) => (minute.bedC - minute.airC) * convection(minute.bedC - minute.airC));
    information += (x / BED_STEP_ERROR_C) ** 2;
    sum += (x * fall) / BED_STEP_ERROR_C ** 2;
  }
  return { mean: sum / information, sd: 1 / Math.sqrt(information) };
}

/** Rates of a part whose surface is measured: a function of two standard normal throws. `bedAt`: bed at a minute, °C. */
export function seenPart(
  minutes: readonly Minute[],
  bedAt: (minute: Minute) => number,
): (z1: number, z2: number) => PartRates {
  const { pull, loss } = unseenPart(0, 0);
  const own = 1 / STEP_ERROR_C ** 2;
  // Precision matrix and right side of (pull, loss).
  let pp = 1 / (RATE_SD * pull) ** 2;
  let ll = 1 / (RATE_SD * loss) ** 2;
  let pl = 0;
  let p = pull * pp;
  let l = loss * ll;
  for (const [earlier, later, excess] of steps(minutes, Number.NEGATIVE_INFINITY)) {
    if (!isThere(earlier.surfaceC) || !isThere(later.surfaceC)) continue;
    const x1 = excess((minute) => bedAt(minute) - minute.airC);
    const x2 = -excess((minute) => minute.surfaceC - minute.airC);
    const y = later.surfaceC - earlier.surfaceC;
    pp += own * x1 * x1;
    pl += own * x1 * x2;
    ll += own * x2 * x2;
    p += own * x1 * y;
    l += own * x2 * y;
  }
  const determinant = pp * ll - pl * pl;
  const meanPull = (ll * p - pl * l) / determinant;
  const meanLoss = (pp * l - pl * p) / determinant;
  // Cholesky of the covariance.
  const sdLoss = Math.sqrt(pp / determinant);
  const slope = -pl / pp;
  const restPull = 1 / Math.sqrt(pp);
  return (z1, z2) => {
    const drawnLoss = meanLoss + sdLoss * z1;
    const kept = Math.min(1 / SHORTEST_TIME_S, Math.max(1 / LONGEST_TIME_S, drawnLoss));
    const drawnPull = meanPull + slope * (drawnLoss - meanLoss) + restPull * z2;
    return { loss: kept, pull: Math.min(kept, Math.max(0, drawnPull)) };
  };
}

type Step = readonly [earlier: Minute, later: Minute, excess: (of: (minute: Minute) => number) => number];

/** Pairs of measured minutes a step apart from a time on; `excess` is the integral of a difference over the step, K·s. */
function* steps(minutes: readonly Minute[], fromMs: number): Generator<Step> {
  for (let i = STEP_MINUTES; i < minutes.length; i += STEP_MINUTES) {
    const within = minutes.slice(i - STEP_MINUTES, i + 1);
    const earlier = within[0]!;
    const later = within[STEP_MINUTES]!;
    if (earlier.endMs - MINUTE_MS < fromMs || !within.every(({ airC }) => isThere(airC))) continue;
    const dtS = MINUTE_MS / 1000;
    yield [
      earlier,
      later,
      (of) => {
        let sum = -0.5 * (of(earlier) + of(later));
        for (const minute of within) sum += of(minute);
        return dtS * sum;
      },
    ];
  }
}
