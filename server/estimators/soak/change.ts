/**
 * Has something changed that is no door? A fan, a vent, a bed that went off unseen: judged by how far the last blocks lie from
 * where the fit of some blocks ago put them.
 */
import { BLOCK_S, type Blocks, isThere } from './blocks.ts';
import { DISCREPANCY_C, DISCREPANCY_S, spreadInto } from './draws.ts';
import type { SoakFrame } from './priors.ts';
import { UNKNOWNS } from './priors.ts';
import type { SoakPosterior } from './refit.ts';
import { createWorkbench, type Forcing, simulatePast } from './simulate.ts';

/** Blocks in a row that must lie off on one side: twelve minutes. */
export const CHANGE_BLOCKS = 3;
const LEAST_C = 0.6;
const SDS = 3.5;
/** Younger fits than this know too little to be contradicted. */
export const LEAST_FITTED_BLOCKS = 8;

/** A fit as it was: to be held against what came after. */
export interface EarlierFit {
  readonly posterior: SoakPosterior;
  /** Blocks that it had seen. */
  readonly blocks: number;
  /** Sd of the air twelve minutes on, as that fit's draws had it, °C. */
  readonly aheadSdC: number;
  readonly pSteady: number;
}

export type ChangeFinding =
  | { readonly outcome: 'as-expected' | 'straying' }
  | { readonly outcome: 'changed'; readonly block: number; readonly byC: number };

export function findChange(
  blocks: Blocks,
  forcing: Forcing,
  frame: SoakFrame,
  fits: readonly EarlierFit[],
): ChangeFinding {
  const count = blocks.airC.length;
  const oldest = fits.find(
    ({ blocks: seen }) => count - seen <= CHANGE_BLOCKS + 1 && count - seen >= CHANGE_BLOCKS,
  );
  const fit = oldest ?? fits[fits.length - 1];
  if (!fit || fit.blocks < LEAST_FITTED_BLOCKS || fit.blocks >= count) return { outcome: 'as-expected' };
  const z = spreadInto(fit.posterior.active, fit.posterior.centre, new Float64Array(UNKNOWNS.length));
  const expected = new Float64Array(count);
  simulatePast(createWorkbench(), frame, z, forcing, expected);
  const off = strayed(blocks, expected, fit.blocks);
  const limitC = Math.max(LEAST_C, SDS * Math.hypot(fit.aheadSdC, DISCREPANCY_C));
  const recent = off.slice(-CHANGE_BLOCKS);
  const last = recent[recent.length - 1];
  if (last === undefined) return { outcome: 'as-expected' };
  const oneSided = recent.every((byC) => Math.sign(byC) === Math.sign(last));
  const meanC = recent.reduce((sum, byC) => sum + byC, 0) / recent.length;
  if (recent.length === CHANGE_BLOCKS && oneSided && Math.abs(meanC) > limitC)
    return { outcome: 'changed', block: count - CHANGE_BLOCKS, byC: meanC };
  return { outcome: Math.abs(last) > limitC ? 'straying' : 'as-expected' };
}

/** Distance of each block after the fit from what it expected; a masked or missing one ends the row before it. */
function strayed(blocks: Blocks, expected: Float64Array, from: number): number[] {
  let offset = 0;
  for (let i = from - 1; i >= 0; i--)
    if (isThere(blocks.airC[i]!) && !blocks.masked[i]) {
      offset = (blocks.airC[i]! - expected[i]!) * Math.exp((-(from - 1 - i) * BLOCK_S) / DISCREPANCY_S);
      break;
    }
  const off: number[] = [];
  for (let i = from; i < blocks.airC.length; i++) {
    if (!isThere(blocks.airC[i]!) || blocks.masked[i]) off.length = 0;
    else
      off.push(
        blocks.airC[i]! - expected[i]! - offset * Math.exp((-(i - from + 1) * BLOCK_S) / DISCREPANCY_S),
      );
  }
  return off;
}

/** A fit so far from the readings, mean square over its own error, is of another chamber; and one step so large, °C. */
const OTHER_CHAMBER_MEAN_SQUARE = 30;
const JUMP_C = 0.45;
/** Only recent steps are looked at: older ones have had their chance. */
const JUMP_WITHIN_BLOCKS = 10;

/**
 * A step that the fit itself can't live with: a fan that the forecast's band, wide early on, had let pass. Null: none, or
 * already known as one of `changes`.
 */
export function findJump(
  blocks: Blocks,
  fitted: Float64Array,
  meanSquare: number,
  changes: readonly number[],
): number | null {
  if (meanSquare < OTHER_CHAMBER_MEAN_SQUARE) return null;
  const phi = Math.exp(-BLOCK_S / DISCREPANCY_S);
  const off = (i: number): number => blocks.airC[i]! - fitted[i]!;
  const seen = (i: number): boolean => isThere(blocks.airC[i]!) && !blocks.masked[i];
  let found: number | null = null;
  let largestC = JUMP_C;
  const count = blocks.airC.length;
  for (let i = Math.max(LEAST_FITTED_BLOCKS, count - JUMP_WITHIN_BLOCKS); i < count; i++) {
    if (!seen(i) || !seen(i - 1) || changes.some((change) => Math.abs(i - change) < 2 * CHANGE_BLOCKS))
      continue;
    const stepC = Math.abs(off(i) - phi * off(i - 1));
    if (stepC > largestC) [found, largestC] = [i, stepC];
  }
  return found;
}
