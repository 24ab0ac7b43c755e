/** Whether a quantity stood still over a span, and how well its mean is known. */

export interface Said {
  readonly atMs: number;
  readonly value: number;
}

export interface Settled {
  readonly mean: number;
  /** Standard uncertainty of the mean. */
  readonly uncertainty: number;
  readonly readings: number;
  readonly lastMs: number;
}

export type SettledOrNot =
  | ({ readonly ok: true } & Settled)
  | { readonly ok: false; readonly detail: string };

/** Fewer readings, or less time, are a glance and no check: judgement. */
const LEAST_READINGS = 10;
const LEAST_MS = 5 * 60_000;
/** Readings of one minute are hardly independent of each other. */
const INDEPENDENT_MS = 60_000;

/** `mostDrift`: what its two halves may differ by. Readings in order of time. */
export function settle(said: readonly Said[], mostDrift: number, name: string, unit: string): SettledOrNot {
  const [first, last] = [said[0], said.at(-1)];
  if (!first || !last || said.length < LEAST_READINGS)
    return {
      ok: false,
      detail: `${said.length} readings of ${name} in that time; ${LEAST_READINGS} are the least.`,
    };
  const spanMs = last.atMs - first.atMs;
  if (spanMs < LEAST_MS)
    return {
      ok: false,
      detail: `The readings of ${name} span ${Math.round(spanMs / 1000)} s; ${LEAST_MS / 60_000} minutes are the least.`,
    };
  const half = first.atMs + spanMs / 2;
  const drift =
    meanOf(said.filter(({ atMs }) => atMs >= half)) - meanOf(said.filter(({ atMs }) => atMs < half));
  if (Math.abs(drift) > mostDrift)
    return {
      ok: false,
      detail: `${name} still moved by ${drift.toFixed(2)} ${unit} from the first half of that time to the second (${mostDrift} is the most). Wait longer, and take a later time.`,
    };
  const mean = meanOf(said);
  const variance = said.reduce((sum, { value }) => sum + (value - mean) ** 2, 0) / (said.length - 1);
  const independent = Math.min(said.length, Math.max(1, Math.floor(spanMs / INDEPENDENT_MS)));
  // What it may still have to go is of the drift's size: as likely anywhere up to it.
  const uncertainty = Math.sqrt(variance / independent + drift ** 2 / 3);
  return { ok: true, mean, uncertainty, readings: said.length, lastMs: last.atMs };
}

const meanOf = (said: readonly Said[]): number =>
  said.reduce((sum, { value }) => sum + value, 0) / said.length;
