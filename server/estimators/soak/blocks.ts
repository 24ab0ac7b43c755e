/**
 * Readings of a chamber as means: of whole minutes while watched, of four minutes over a heat-up.
 *
 * Four minutes even out a thermostat's ripple (50–140 s) and leave a soak's shape whole. Minutes fall on whole minutes of the
 * clock handed in, so that the rhythm of readings and ticks moves no number.
 */

/** Stands in for "not measured": JSON has no NaN. */
export const ABSENT = -9999;
export const isThere = (value: number): boolean => value > ABSENT + 1;

export const MINUTE_MS = 60_000;
export const BLOCK_MINUTES = 4;
export const BLOCK_S = 60 * BLOCK_MINUTES;
/** 36 h of blocks; then the oldest 12 h are given up: what they said is in the nodes they left behind. */
export const MOST_BLOCKS = 540;
export const DROPPED_BLOCKS = 180;
/** Minutes kept while no run goes on: enough to find the start of a heat-up after the fact. */
export const MOST_MINUTES = 40;

export interface Minute {
  readonly endMs: number;
  readonly airC: number;
  readonly bedC: number;
  readonly surfaceC: number;
  readonly roomC: number;
  /** 1: a door was open or its dip not over. */
  readonly masked: number;
}

export interface OpenMinute {
  air: number;
  airCount: number;
  bed: number;
  bedCount: number;
  surface: number;
  surfaceCount: number;
  room: number;
  roomCount: number;
  masked: number;
}

export const createOpenMinute = (): OpenMinute => ({
  air: 0,
  airCount: 0,
  bed: 0,
  bedCount: 0,
  surface: 0,
  surfaceCount: 0,
  room: 0,
  roomCount: 0,
  masked: 0,
});

const meanOf = (sum: number, count: number): number => (count > 0 ? sum / count : ABSENT);

export const closeMinute = (open: OpenMinute, endMs: number): Minute => ({
  endMs,
  airC: meanOf(open.air, open.airCount),
  bedC: meanOf(open.bed, open.bedCount),
  surfaceC: meanOf(open.surface, open.surfaceCount),
  roomC: meanOf(open.room, open.roomCount),
  masked: open.masked,
});

/** Columns of blocks; block i ends at (i + 1)·240 s of run time. */
export interface Blocks {
  airC: number[];
  bedC: number[];
  roomC: number[];
  masked: number[];
}

export const createBlocks = (): Blocks => ({ airC: [], bedC: [], roomC: [], masked: [] });

/** Four minutes into one block. Two of them must have been heard, or it counts as not measured. */
export function addBlock(blocks: Blocks, minutes: readonly Minute[]): void {
  const mean = (key: 'airC' | 'bedC' | 'roomC', least: number): number => {
    const values = minutes.map((minute) => minute[key]).filter(isThere);
    return values.length >= least ? values.reduce((sum, value) => sum + value, 0) / values.length : ABSENT;
  };
  blocks.airC.push(mean('airC', 2));
  blocks.bedC.push(mean('bedC', 1));
  blocks.roomC.push(mean('roomC', 1));
  blocks.masked.push(minutes.some(({ masked }) => masked === 1) ? 1 : 0);
}

export function dropOldBlocks(blocks: Blocks, count: number): void {
  for (const name of Object.keys(blocks) as (keyof Blocks)[]) blocks[name] = blocks[name].slice(count);
}

/** Least-squares slope over the last blocks that were measured with the door shut, °C per 10 min; null: too few. */
export function recentSlopeCPer10Min(blocks: Blocks, count: number, least: number): number | null {
  const n = blocks.airC.length;
  let points = 0;
  let sumX = 0;
  let sumY = 0;
  let sumXX = 0;
  let sumXY = 0;
  for (let i = Math.max(0, n - count); i < n; i++) {
    const y = blocks.airC[i]!;
    if (!isThere(y) || blocks.masked[i]) continue;
    const x = (i - n) * (BLOCK_S / 600);
    points++;
    sumX += x;
    sumY += y;
    sumXX += x * x;
    sumXY += x * y;
  }
  if (points < least) return null;
  return (points * sumXY - sumX * sumY) / (points * sumXX - sumX * sumX);
}
