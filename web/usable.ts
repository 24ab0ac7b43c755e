/** Grams from the outside in that may be used: those that can be counted on lead, the likely figure follows. Pure. */
import type { SpoolState } from '../server/api/messages.ts';
import { count, withUnit } from './format.ts';

/** Steps in which grams are said: an estimate of turns knows them no finer. */
const STEP_G = 10;
/** Usable from the outside to this share of the net mass: it is all of it. */
const ALL_FROM = 0.98;

/** What is still on it: jobs took the rest from the outside. */
export const leftG = (spool: SpoolState): number => Math.max(0, spool.netMassG - spool.takenG);

/** Rounded down: no turn may be promised by rounding. */
export function countedOnG(spool: SpoolState): number {
  if (isAllCountedOn(spool)) return Math.floor(leftG(spool));
  return STEP_G * Math.floor(Math.max(0, spool.drying?.readyOuterG.p05 ?? 0) / STEP_G);
}

export function likelyG(spool: SpoolState): number {
  const median = spool.drying?.readyOuterG.p50 ?? 0;
  if (median >= allFromG(spool)) return Math.floor(leftG(spool));
  return STEP_G * Math.round(Math.max(0, median) / STEP_G);
}

/** Both are counted from where the jobs left off. */
const allFromG = (spool: SpoolState): number => Math.max(0, ALL_FROM * spool.netMassG - spool.takenG);

export const isAllCountedOn = (spool: SpoolState): boolean =>
  (spool.drying?.readyOuterG.p05 ?? 0) >= allFromG(spool);

export const grams = (amountG: number): string => withUnit(count(amountG), 'g');
