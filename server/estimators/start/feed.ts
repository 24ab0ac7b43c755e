/**
 * A job fed from the outside of a spool inwards, while the box goes on drying: how wet each turn is as it leaves.
 *
 * The spool is kept whole in the model. Turns that are gone would let those beneath dry a little faster, so what is said here
 * errs to the wet side.
 */
import { SHELLS, stepModel } from '../drying/model.ts';
import { supplyOf } from '../drying/simulate.ts';
import { type SpoolAhead, takeState } from './spool-ahead.ts';

export interface FeedPlan {
  readonly grams: number;
  readonly hours: number;
  /** g that left the spool before: the feed begins so far in. */
  readonly takenG?: number;
  /** Box air during the job, °C; null: as it dries now. */
  readonly boxC: number | null;
  /** The filament's way out stands open: twice the vent. */
  readonly exitOpen: boolean;
}

export interface Fed {
  /** Wettest turn as it left, wt %, with the draw's own errors. */
  readonly wettestWtPercent: number;
  /** g that left above the limit. */
  readonly tooWetG: number;
  /** g that left before the first that was too wet; all of them where none was. */
  readonly underG: number;
}

const LONGEST_STEP_S = 1200;
const LEAST_STEPS = 12;
/** A job of days is stepped more coarsely, so that no question takes the server's breath away. */
const MOST_STEPS = 120;

/** Moisture at a share of the spool from the outside; straight lines between the shells' middles. */
export function moistureAt(
  share: number,
  moisture: ArrayLike<number>,
  shellShare: ArrayLike<number>,
): number {
  const last = SHELLS - 1;
  let middle = 0.5 * shellShare[last]!;
  if (share <= middle) return moisture[last]!;
  for (let i = last - 1; i >= 0; i--) {
    const next = middle + 0.5 * (shellShare[i]! + shellShare[i + 1]!);
    if (share <= next) {
      const part = (share - middle) / (next - middle);
      return moisture[i + 1]! + part * (moisture[i]! - moisture[i + 1]!);
    }
    middle = next;
  }
  // At the sealed hub the profile is flat: an eighth of the first step beyond the innermost middle.
  const part = Math.min(1, (share - middle) / (0.5 * shellShare[0]!));
  return moisture[0]! + (part * Math.max(0, moisture[0]! - moisture[1]!)) / 8;
}

/** One draw's job from one start; `extraS` of further drying come before it. */
export function feedDraw(
  ahead: SpoolAhead,
  startPlace: number,
  extraS: number,
  draw: number,
  plan: FeedPlan,
  limitWtPercent: number,
): Fed {
  takeState(ahead, startPlace, draw);
  const { kernel, member, state, start } = ahead.bench;
  const drying = ahead.way === 'drying';
  const supply = drying ? supplyOf(start, ahead.roomGPerM3) : 0;
  for (let left = extraS; drying && left > 0; left -= LONGEST_STEP_S)
    stepModel(kernel, member, state, Math.min(LONGEST_STEP_S, left), ahead.boxC, supply, 0);
  if (plan.exitOpen) member.ventM3PerS *= 2;
  const error = ahead.errors[draw]!.mean * ahead.errors[draw]!.turn;
  const whole = plan.grams / ahead.setup.netMassG;
  const first = (plan.takenG ?? 0) / ahead.setup.netMassG;
  const steps = Math.min(MOST_STEPS, Math.max(LEAST_STEPS, Math.ceil((plan.hours * 3600) / LONGEST_STEP_S)));
  const dtS = (plan.hours * 3600) / steps;
  let before = error * moistureAt(first, state.moisture, kernel.shellShare);
  let wettest = before;
  let tooWetG = 0;
  let underG: number | null = before > limitWtPercent ? 0 : null;
  for (let step = 1; step <= steps; step++) {
    if (drying) stepModel(kernel, member, state, dtS, plan.boxC ?? ahead.boxC, supply, 0);
    const w = error * moistureAt(first + (whole * step) / steps, state.moisture, kernel.shellShare);
    wettest = Math.max(wettest, w);
    if (underG === null && w > limitWtPercent)
      underG = (plan.grams / steps) * (step - 1 + (limitWtPercent - before) / (w - before));
    tooWetG += (plan.grams / steps) * shareAbove(before, w, limitWtPercent);
    before = w;
  }
  return { wettestWtPercent: wettest, tooWetG, underG: underG ?? plan.grams };
}

/** Of a straight line from one value to another, how much lies above a limit. */
function shareAbove(from: number, to: number, limit: number): number {
  const high = Math.max(from, to);
  const low = Math.min(from, to);
  if (low >= limit) return 1;
  return high <= limit ? 0 : (high - limit) / (high - low);
}
