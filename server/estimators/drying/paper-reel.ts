/**
 * A cardboard reel: the box's second store of water. Outer plies meet the box's air through a film, inner plies follow
 * them with a lag: one lump gave half of what the first three quarters of an hour see, and too much after.
 *
 * Letters: s, c water of outer and inner plies g; e reduced vapour of the box g/m³; P = ds/de along the isotherm's chord;
 * G conductance of the film m³/s; σ share of the outer plies; k = dt/lag.
 *   s' + (c' − c) + dt·G·(s'/P − e) = s,   c' − c = k/(1 + k)·((1 − σ)/σ·s' − c)
 */
import { TABLE_COLUMNS, TABLE_LOWEST_C, TABLE_STEPS_PER_C } from './thermal-table.ts';

/**
 * Paper: w = 0.07·(a/0.5)^0.55 g/g (7 wt % at 50 %RH, 4 at 20, 2 at 5: cellulose's first steep water; from memory),
 * nearly the same at all temperatures. Its lag shortens with heat, 30 kJ/mol (judgement).
 */
const PAPER_AT_HALF = 0.07;
const PAPER_POWER = 0.55;
const PAPER_LAG_K = 3600;
const PAPER_LAG_AT_K = 343.15;
/** Judgement: the plies next to the air. */
export const PAPER_OUTER_SHARE = 0.3;
const INNER_PER_OUTER = (1 - PAPER_OUTER_SHARE) / PAPER_OUTER_SHARE;
const LOG_SCALE = 1 / PAPER_POWER;
const LOG_AT_HALF = Math.log(PAPER_AT_HALF);
/** Two flanges' bare outer faces, 0.05 m², at 0.004 m/s (judgement: natural convection); with the pack's film scale. */
const PAPER_FILM_M3_PER_S = 2e-4;

/** The board is warmer than the outer turns by this share of what they are behind the air (judgement). */
const REEL_AHEAD = 0.15;

/** Water of a gram of paper at an activity, g/g. */
export const paperWaterGPerG = (activity: number): number => PAPER_AT_HALF * (2 * activity) ** PAPER_POWER;

/** One step's linear relation: s' = own + perE·e, and what the reel gives to the box, given0 − given1·e, g/s. */
export interface PaperStep {
  own: number;
  perE: number;
  given0: number;
  given1: number;
  /** k/(1 + k). */
  coreGain: number;
}

export const createPaperStep = (): PaperStep => ({ own: 0, perE: 0, given0: 0, given1: 0, coreGain: 0 });

export function relatePaper(
  into: PaperStep,
  member: { readonly paperG: number; readonly paperLagS: number; readonly filmScale: number },
  { paperOuterG, paperInnerG }: { readonly paperOuterG: number; readonly paperInnerG: number },
  table: Float64Array,
  boxC: number,
  outerTurnC: number,
  dtS: number,
): void {
  const temperatureC = outerTurnC + REEL_AHEAD * (boxC - outerTurnC);
  const place = (temperatureC - TABLE_LOWEST_C) * TABLE_STEPS_PER_C;
  const at = (place | 0) * TABLE_COLUMNS;
  const saturation = table[at]! + (place - (place | 0)) * (table[at + TABLE_COLUMNS]! - table[at]!);
  const outerG = PAPER_OUTER_SHARE * member.paperG;
  const held = Math.max(1e-4, paperOuterG / outerG);
  // A power by way of exp and ln: here `**` takes four times as long, and this is asked at every step.
  const activity = 0.5 * Math.exp(LOG_SCALE * (Math.log(held) - LOG_AT_HALF));
  const perP = (activity * saturation) / (outerG * held);
  const G = PAPER_FILM_M3_PER_S * member.filmScale;
  const lagS = member.paperLagS * Math.exp(PAPER_LAG_K * (1 / (temperatureC + 273.15) - 1 / PAPER_LAG_AT_K));
  into.coreGain = dtS / (lagS + dtS);
  const given = dtS * G;
  const perWhole = 1 / (1 + into.coreGain * INNER_PER_OUTER + given * perP);
  into.own = (paperOuterG + into.coreGain * paperInnerG) * perWhole;
  into.perE = given * perWhole;
  into.given0 = G * into.own * perP;
  into.given1 = G * (1 - into.perE * perP);
}

/** Water of the inner plies at the step's end. */
export const innerPaperG = (step: PaperStep, outerG: number, innerG: number): number =>
  innerG + step.coreGain * (INNER_PER_OUTER * outerG - innerG);
