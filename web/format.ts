/**
 * The only place where numbers and times become text, and the only one that knows local time. Everything else on the
 * page counts in UTC milliseconds and plain numbers.
 */

import { CALENDAR } from './words/ground.ts';

export interface Preferences {
  readonly clock: '24h' | '12h';
  readonly temperature: 'C' | 'F';
}

export const DEFAULT_PREFERENCES: Preferences = { clock: '24h', temperature: 'C' };

/** Stands wherever there is no number. */
export const NO_NUMBER = '–';
const MINUS = '\u2212';
const THIN_SPACE = '\u2009';
export const EN_DASH = '–';
const NO_BREAK_SPACE = '\u00a0';

const SECOND = 1000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

/** Fixed decimals with a true minus; −0.0 is 0.0, and what is no number is a dash. */
export function fixed(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return NO_NUMBER;
  const text = value.toFixed(decimals);
  if (!text.startsWith('-')) return text;
  return Number(text) === 0 ? text.slice(1) : MINUS + text.slice(1);
}

/** "80.1 °C" that no line end can part. */
export const withUnit = (text: string, unit: string): string =>
  text === NO_NUMBER ? text : `${text}${NO_BREAK_SPACE}${unit}`;

/** Whole numbers, grouped in threes from 10 000 on. */
export function count(value: number): string {
  const text = String(Math.round(value));
  return text.length < 5 ? text : text.replace(/\B(?=(\d{3})+$)/g, THIN_SPACE);
}

/** "5.2–15.7"; in words where a minus sign would stand beside the dash. */
export function range(low: number, high: number, decimals: number): string {
  const [a, b] = [fixed(low, decimals), fixed(high, decimals)];
  return low < 0 || high < 0 ? `${a} to ${b}` : `${a}${EN_DASH}${b}`;
}

/** Moisture, wt %: two decimals under 1, one above. */
export const moisture = (wtPercent: number | null | undefined): string =>
  fixed(wtPercent, (wtPercent ?? 0) < 0.995 ? 2 : 1);

export const moistureRange = (band: { readonly p05: number; readonly p95: number }): string =>
  `${moisture(band.p05)}${EN_DASH}${moisture(band.p95)}`;

/** A forecast time is said no finer than it is known: 5 min under 6 h, 15 min under 24 h, else 1 h. */
function roundAhead(atMs: number, nowMs: number): number {
  const waitMs = atMs - nowMs;
  const stepMinutes = waitMs < 6 * HOUR ? 5 : waitMs < DAY ? 15 : 60;
  const date = new Date(atMs);
  // On the local clock: some zones are half an hour beside the rest.
  const minutes = date.getMinutes() + date.getSeconds() / 60 + date.getMilliseconds() / MINUTE;
  return atMs + (Math.round(minutes / stepMinutes) * stepMinutes - minutes) * MINUTE;
}

/** How long ago, as it ticks in a table: two units at most. */
export function age(elapsedMs: number): string {
  const whole = Math.max(0, Math.floor(elapsedMs / SECOND));
  if (whole < 60) return `${whole} s`;
  const pairs: readonly [number, string, number, string][] = [
    [DAY, 'd', HOUR, 'h'],
    [HOUR, 'h', MINUTE, 'min'],
    [MINUTE, 'min', SECOND, 's'],
  ];
  for (const [large, largeUnit, small, smallUnit] of pairs) {
    const larges = Math.floor((whole * SECOND) / large);
    if (larges === 0) continue;
    const smalls = Math.floor((whole * SECOND - larges * large) / small);
    return smalls === 0 ? `${larges} ${largeUnit}` : `${larges} ${largeUnit} ${smalls} ${smallUnit}`;
  }
  return `${whole} s`;
}

/** The same in its largest unit alone: "6 min". */
export const roundAge = (elapsedMs: number): string => age(elapsedMs).split(' ').slice(0, 2).join(' ');

/** The largest whole unit of a duration, for a sentence: `{ amount: 6, unit: 'minute' }`. */
export function spoken(elapsedMs: number): {
  amount: number;
  unit: 'second' | 'minute' | 'hour' | 'day';
} {
  const units = [
    [2 * DAY, DAY, 'day'],
    [2 * HOUR, HOUR, 'hour'],
    [MINUTE, MINUTE, 'minute'],
  ] as const;
  for (const [from, size, unit] of units)
    if (elapsedMs >= from) return { amount: Math.floor(elapsedMs / size), unit };
  return { amount: Math.max(0, Math.floor(elapsedMs / SECOND)), unit: 'second' };
}

const two = (value: number): string => String(value).padStart(2, '0');

const sameDay = (a: Date, b: Date): boolean =>
  a.getFullYear() === b.getFullYear() && a.getMonth() === b.getMonth() && a.getDate() === b.getDate();

export interface Format {
  readonly preferences: Preferences;
  /** "12:10". */
  clock(atMs: number): string;
  /** "12:04:31". */
  clockWithSeconds(atMs: number): string;
  /** The clock, with the weekday or the date before it where the day is not that of `nowMs`. */
  when(atMs: number, nowMs: number): string;
  /** A forecast time, rounded by how far off it is; same words as `when`. */
  about(atMs: number, nowMs: number): string;
  /** "14:50–19:50"; the day said once where both ends share it and it is not today, at both where they do not. */
  aboutRange(fromMs: number, toMs: number, nowMs: number): string;
  /** "Wed 12:10". */
  dayAndClock(atMs: number): string;
  /** "12 Mar 2026, 12:10": for what is kept. */
  dateAndClock(atMs: number): string;
  /** "12 Mar". */
  date(atMs: number): string;
  /** A temperature in the preferred unit, one decimal, no unit. */
  temperature(celsius: number | null | undefined): string;
  temperatureRange(lowC: number, highC: number): string;
  /** How much warmer, in the preferred unit, with it: no offset. */
  temperatureStep(celsius: number, decimals?: number): string;
  readonly temperatureUnit: '°C' | '°F';
  /** The number behind `temperature`, for an axis. */
  shownTemperature(celsius: number): number;
}

export function createFormat(preferences: Preferences): Format {
  const clock = (atMs: number, seconds: boolean): string => {
    const date = new Date(atMs);
    const tail = `:${two(date.getMinutes())}${seconds ? `:${two(date.getSeconds())}` : ''}`;
    if (preferences.clock === '24h') return `${two(date.getHours())}${tail}`;
    return `${date.getHours() % 12 || 12}${tail} ${date.getHours() < 12 ? CALENDAR.beforeNoon : CALENDAR.afterNoon}`;
  };
  const weekday = (date: Date): string => CALENDAR.weekdays[date.getDay()] ?? '';
  const day = (date: Date): string => `${date.getDate()} ${CALENDAR.months[date.getMonth()] ?? ''}`;
  const shownTemperature = (celsius: number): number =>
    preferences.temperature === 'C' ? celsius : celsius * 1.8 + 32;
  const dayed = (atMs: number, nowMs: number): string => {
    const date = new Date(atMs);
    const near = Math.abs(atMs - nowMs) < 6 * DAY;
    return `${near ? weekday(date) : day(date)} ${clock(atMs, false)}`;
  };
  const when = (atMs: number, nowMs: number): string =>
    sameDay(new Date(atMs), new Date(nowMs)) ? clock(atMs, false) : dayed(atMs, nowMs);
  const about = (atMs: number, nowMs: number): string => when(roundAhead(atMs, nowMs), nowMs);
  return {
    preferences,
    clock: (atMs) => clock(atMs, false),
    clockWithSeconds: (atMs) => clock(atMs, true),
    when,
    about,
    aboutRange(fromMs, toMs, nowMs) {
      const [low, high] = [roundAhead(fromMs, nowMs), roundAhead(toMs, nowMs)];
      if (sameDay(new Date(low), new Date(high))) return `${when(low, nowMs)}${EN_DASH}${clock(high, false)}`;
      return `${dayed(low, nowMs)}${EN_DASH}${dayed(high, nowMs)}`;
    },
    dayAndClock: (atMs) => `${weekday(new Date(atMs))} ${clock(atMs, false)}`,
    dateAndClock: (atMs) => `${day(new Date(atMs))} ${new Date(atMs).getFullYear()}, ${clock(atMs, false)}`,
    date: (atMs) => day(new Date(atMs)),
    temperature: (celsius) =>
      celsius === null || celsius === undefined ? NO_NUMBER : fixed(shownTemperature(celsius), 1),
    temperatureRange: (lowC, highC) => range(shownTemperature(lowC), shownTemperature(highC), 1),
    temperatureStep: (celsius, decimals = 1) =>
      withUnit(
        fixed(shownTemperature(celsius) - shownTemperature(0), decimals),
        preferences.temperature === 'C' ? '°C' : '°F',
      ),
    temperatureUnit: preferences.temperature === 'C' ? '°C' : '°F',
    shownTemperature,
  };
}

export type TickStep = { readonly unit: 'minute' | 'hour' | 'day'; readonly every: number };

/**
 * Local clock times in [fromMs, toMs] that are whole multiples of the step, counted from local midnight (days from the
 * first of the month). Walks the local calendar, so that a day of 23 or 25 hours keeps its hours where they belong.
 */
export function localTimes(fromMs: number, toMs: number, step: TickStep): number[] {
  const times: number[] = [];
  const at = new Date(fromMs);
  at.setHours(0, 0, 0, 0);
  for (let guard = 0; guard < 400 && at.getTime() <= toMs; guard++) {
    const midnight = at.getTime();
    const next = new Date(midnight);
    next.setDate(next.getDate() + 1);
    if (step.unit === 'day') {
      if (isDayStep(at, step.every) && midnight >= fromMs) times.push(midnight);
    } else {
      const stepMinutes = step.unit === 'hour' ? 60 * step.every : step.every;
      // A quarter of an hour at most, since some zones change their clocks by half an hour.
      const strideMs = Math.min(stepMinutes, 15) * MINUTE;
      for (let tickMs = midnight; tickMs < next.getTime(); tickMs += strideMs) {
        if (tickMs < fromMs || tickMs > toMs) continue;
        const tick = new Date(tickMs);
        if ((tick.getHours() * 60 + tick.getMinutes()) % stepMinutes === 0) times.push(tickMs);
      }
    }
    at.setTime(next.getTime());
  }
  return times;
}

/** Every n-th day from the first of the month; one too near to the next first gives way to it. */
function isDayStep(date: Date, every: number): boolean {
  const dayOfMonth = date.getDate();
  if ((dayOfMonth - 1) % every !== 0) return false;
  const daysInMonth = new Date(date.getFullYear(), date.getMonth() + 1, 0).getDate();
  return dayOfMonth === 1 || daysInMonth + 1 - dayOfMonth >= every;
}

/** Local midnight, where a ruler writes the day. */
export function isMidnight(atMs: number): boolean {
  const date = new Date(atMs);
  return date.getHours() === 0 && date.getMinutes() === 0;
}
