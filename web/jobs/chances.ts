/** Chances read off between their times, and the sentence of a start that someone points at. Pure. */
import type { StartChancesWire } from '../../server/api/messages-jobs.ts';
import type { Format } from '../format.ts';
import { chanceText, START } from '../words/jobs.ts';

export interface ChanceAt {
  readonly pSpool: number;
  readonly pChamber: number | null;
}

export const HOUR_MS = 3_600_000;
export const STEP_MS = 600_000;
const LONGEST_H = 84;

/** Straight lines between; null outside. */
export function chanceAt({ chances }: StartChancesWire, atMs: number): ChanceAt | null {
  const [first, last] = [chances[0], chances.at(-1)];
  if (!first || !last || atMs > last.atMs) return null;
  // Asked a moment ago: now is as good as then.
  if (atMs <= first.atMs) return first;
  const next = chances.findIndex((one) => one.atMs >= atMs);
  const [a, b] = [chances[next - 1]!, chances[next]!];
  const part = (atMs - a.atMs) / (b.atMs - a.atMs);
  const between = (from: number, to: number): number => from + part * (to - from);
  return {
    pSpool: between(a.pSpool, b.pSpool),
    pChamber: a.pChamber === null || b.pChamber === null ? null : between(a.pChamber, b.pChamber),
  };
}

/** Both at once, if they are taken as independent. */
export const jointly = ({ pSpool, pChamber }: ChanceAt): number => pSpool * (pChamber ?? 1);

export function sayChance(
  chances: StartChancesWire,
  startMs: number,
  hours: number,
  sure: number,
  limit: string,
  nowMs: number,
  format: Format,
): string {
  const chance = chanceAt(chances, startMs);
  if (!chance) return '';
  const spool = START.at(format.when(startMs, nowMs), chanceText(chance.pSpool, sure), limit);
  const chamber =
    chance.pChamber === null
      ? ''
      : `; ${START.atChamber(chanceText(chance.pChamber, sure))}${chances.bedOn ? '' : `, ${START.ifBedOn}`}`;
  return `${spool}${chamber}. ${START.until(format.about(startMs + hours * HOUR_MS, nowMs))}`;
}

/** How far the ruler reaches: past the earliest start and the job it begins; where there is none, to the last that was looked at. */
export function rulerRange(
  nowMs: number,
  earliestMs: number | null,
  hours: number,
  lastMs: number,
): { readonly fromMs: number; readonly toMs: number } {
  const wantedMs =
    earliestMs === null ? lastMs - nowMs : 1.35 * Math.max(0, earliestMs - nowMs) + hours * HOUR_MS;
  const lengthMs = Math.min(LONGEST_H, Math.max(8, Math.ceil(wantedMs / HOUR_MS))) * HOUR_MS;
  // Stands still for a quarter of an hour, so that it does not crawl under the hand.
  const fromMs = Math.floor(nowMs / (HOUR_MS / 4)) * (HOUR_MS / 4) - lengthMs / 40;
  return { fromMs, toMs: fromMs + lengthMs };
}

/** Where a key moves the window; null: no key of it, `back`: to the earliest start. */
export function movedBy(key: string, startMs: number, nowMs: number, lastMs: number): number | 'back' | null {
  const keep = (ms: number): number => Math.min(lastMs, Math.max(nowMs, Math.round(ms / STEP_MS) * STEP_MS));
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return keep(startMs - STEP_MS);
    case 'ArrowRight':
    case 'ArrowUp':
      return keep(startMs + STEP_MS);
    case 'PageDown':
      return keep(startMs - HOUR_MS);
    case 'PageUp':
      return keep(startMs + HOUR_MS);
    case 'Home':
      return nowMs;
    case 'End':
      return lastMs;
    case 'Escape':
      return 'back';
    default:
      return null;
  }
}
