/** The marks of the time ruler: long ones with words, short ones between, both on round local times. */
import { type Format, isMidnight, localTimes, type TickStep } from '../format.ts';
import type { Range } from './view.ts';

export interface RulerTick {
  readonly atMs: number;
  readonly long: boolean;
  /** Empty where there is no room for words. */
  readonly text: string;
}

const MINUTE = 60_000;
const step = (unit: TickStep['unit'], every: number): TickStep => ({ unit, every });
const lengthMs = ({ unit, every }: TickStep): number =>
  every * (unit === 'minute' ? MINUTE : unit === 'hour' ? 60 * MINUTE : 1440 * MINUTE);

/** Words at the first step, marks at the second. */
const STEPS: readonly (readonly [words: TickStep, marks: TickStep])[] = [
  [step('minute', 1), step('minute', 1)],
  [step('minute', 2), step('minute', 1)],
  [step('minute', 5), step('minute', 1)],
  [step('minute', 10), step('minute', 2)],
  [step('minute', 15), step('minute', 5)],
  [step('minute', 30), step('minute', 5)],
  [step('hour', 1), step('minute', 15)],
  [step('hour', 2), step('minute', 30)],
  [step('hour', 3), step('minute', 30)],
  [step('hour', 4), step('hour', 1)],
  [step('hour', 6), step('hour', 1)],
  [step('hour', 12), step('hour', 3)],
  [step('day', 1), step('hour', 6)],
  [step('day', 2), step('day', 1)],
  [step('day', 5), step('day', 1)],
  [step('day', 10), step('day', 1)],
];

/** Least distance between two words, in px: "12 Mar" or "12:10 pm" with air about it. */
const WORDS_PX = { '24h': 58, '12h': 82 } as const;

export function rulerTicks(range: Range, widthPx: number, format: Format): RulerTick[] {
  const msPerPx = (range.toMs - range.fromMs) / Math.max(1, widthPx);
  const roomMs = WORDS_PX[format.preferences.clock] * msPerPx;
  const chosen = STEPS.find(([words]) => lengthMs(words) >= roomMs) ?? STEPS.at(-1)!;
  const [words, marks] = chosen;
  const spoken = new Set(localTimes(range.fromMs, range.toMs, words));
  const all = new Set([...localTimes(range.fromMs, range.toMs, marks), ...spoken]);
  return [...all]
    .sort((a, b) => a - b)
    .map((atMs) => {
      const long = spoken.has(atMs);
      return { atMs, long, text: long ? tickText(atMs, words, format) : '' };
    });
}

const tickText = (atMs: number, words: TickStep, format: Format): string =>
  words.unit === 'day' || isMidnight(atMs) ? format.date(atMs) : format.clock(atMs);
