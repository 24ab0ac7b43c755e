/** Grams from the outside in that may be used: those that can be counted on lead, the likely figure follows. Pure. */
import type { SpoolState } from '../server/api/messages.ts';
import { count, withUnit } from './format.ts';

/** Steps in which grams are said: an estimate of turns knows them no finer. */
const STEP_G = 10;
/** From this share of the net mass on, it is all of it. */
const ALL_FROM = 0.98;

/** Rounded down: no turn may be promised by rounding. */
export function countedOnG(spool: SpoolState): number {
  if (isAllCountedOn(spool)) return Math.floor(spool.netMassG);
  return STEP_G * Math.floor(Math.max(0, spool.drying?.readyOuterG.p05 ?? 0) / STEP_G);
}

export function likelyG(spool: SpoolState): number {
  const median = spool.drying?.readyOuterG.p50 ?? 0;
  if (median >= ALL_FROM * spool.netMassG) return Math.floor(spool.netMassG);
  return STEP_G * Math.round(Math.max(0, median) / STEP_G);
}

export const isAllCountedOn = (spool: SpoolState): boolean =>
  (spool.drying?.readyOuterG.p05 ?? 0) >= ALL_FROM * spool.netMassG;

export const grams = (amountG: number): string => withUnit(count(amountG), 'g');
