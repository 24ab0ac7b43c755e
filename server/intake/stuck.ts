/**
 * A sensor that repeats itself, seen from the host. A board of ours sees it in the sensor's raw bits, whose last one is
 * never still, within a minute. Of other people's lines only rounded numbers arrive, and those may well stand still in
 * still air: so it takes an hour, both quantities of the station, and at least one decimal place. Whole numbers, a
 * humidity clipped to 0 or 100, and a temperature alone prove nothing and are left as they are.
 */

export interface Repeating {
  readonly key: string;
  readonly value: number;
  readonly sinceMs: number;
  readonly lines: number;
}

/** Still air can hold two rounded numbers for minutes; a room, or a box whose heater switches, not for an hour. */
export const STUCK_AFTER_MS = 3_600_000;
/** A station that speaks once an hour has shown nothing yet. */
const LEAST_LINES = 30;

export type StuckWatch = Readonly<Record<string, Repeating>>;

const WATCHED = ['t', 'rh'] as const;
const tells = ({ key, value }: Repeating): boolean =>
  !Number.isInteger(value) && !(key === 'rh' && (value <= 0 || value >= 100));

/** `nowMs` never goes back. Keys that a line leaves out keep their count. */
export function watchStuck(
  watch: StuckWatch,
  values: Readonly<Record<string, number>>,
  nowMs: number,
): { readonly watch: StuckWatch; readonly stuck: boolean } {
  const next: Record<string, Repeating> = { ...watch };
  for (const key of WATCHED) {
    const value = values[key];
    if (value === undefined) continue;
    const before = watch[key];
    next[key] =
      before?.value === value
        ? { ...before, lines: before.lines + 1 }
        : { key, value, sinceMs: nowMs, lines: 1 };
  }
  const both = WATCHED.flatMap((key) => next[key] ?? []);
  const stuck =
    both.length === WATCHED.length &&
    both.every(({ sinceMs, lines }) => nowMs - sinceMs >= STUCK_AFTER_MS && lines >= LEAST_LINES) &&
    both.some(tells) &&
    both.every(({ key, value }) => key !== 'rh' || (value > 0 && value < 100));
  return { watch: next, stuck };
}
