/** What a report is drawn from: history of the stretch it is about, asked for once. */
import type { HistoryAnswer } from '../../server/api/messages.ts';
import { askJson } from '../ask.ts';
import { historyPath } from '../history.ts';
import type { Curve } from './figure.tsx';

/** A point for each two pixels of the widest figure. */
const BUCKETS = 480;
/** A series whose readings are further apart than so many of its own usual steps has a gap there. */
const GAP_STEPS = 5;

export type SeriesOf = (key: string) => Curve | null;

export async function fetchSeries(
  station: string,
  keys: readonly string[],
  fromMs: number,
  toMs: number,
): Promise<SeriesOf> {
  const question = { ids: [], fromMs, toMs, buckets: BUCKETS };
  const answer = await askJson<HistoryAnswer>(historyPath(station, keys, question));
  if (!answer.ok) return () => null;
  const { series } = answer.value;
  return (key) => {
    const found = series[key];
    if (!found || found.atMs.length === 0) return null;
    const steps = found.atMs.slice(1).map((ms, i) => ms - (found.atMs[i] as number));
    const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
    return { atMs: found.atMs, values: found.mean, gapMs: GAP_STEPS * Math.max(usual, 1000) };
  };
}

export const csvPath = (station: string, keys: readonly string[], fromMs: number, toMs: number): string =>
  `/api/history.csv?${new URLSearchParams({
    station,
    keys: keys.join(','),
    fromMs: String(Math.floor(fromMs)),
    toMs: String(Math.ceil(toMs)),
  })}`;

/** Opens the Bench's ruler at a span. */
export const rulerPath = (fromMs: number, toMs: number): string =>
  `/?${new URLSearchParams({ from: String(Math.floor(fromMs)), to: String(Math.ceil(toMs)) })}`;

/** The value of a curve at or just before a time; null in a gap. */
export function valueAt(curve: Curve | null, atMs: number): number | null {
  if (!curve) return null;
  let place = -1;
  while (place + 1 < curve.atMs.length && (curve.atMs[place + 1] as number) <= atMs) place++;
  if (place < 0 || atMs - (curve.atMs[place] as number) > curve.gapMs) return null;
  return curve.values[place] ?? null;
}
