/** What is fetched of a spool beside the live state: its life as a strip, its diary, and what a weigh-in changed. */
import type { HistoryAnswer } from '../../server/api/messages.ts';
import type { Diary, DiaryEntry } from '../../server/api/messages-diary.ts';

export const LIFE_MS = 14 * 86_400_000;
/** Twenty minutes each: every second fit, and a day of them still makes a line. */
const LIFE_BUCKETS = 1000;
/** Estimates reach history at each refit, every ten minutes. */
export const FIT_MS = 600_000;
/** A fit before and a fit after a weigh-in lie within this; a slow bench may miss one. */
const AROUND_MS = 2.5 * FIT_MS;

export type FetchJson = (path: string, cancelled: AbortSignal) => Promise<unknown>;

export interface BandPoint {
  readonly atMs: number;
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

async function bandsOf(
  fetchJson: FetchJson,
  spool: { readonly id: string; readonly station: string },
  fromMs: number,
  toMs: number,
  buckets: number,
  cancelled: AbortSignal,
): Promise<BandPoint[]> {
  const keys = ['p05', 'p50', 'p95'].map((figure) => `${spool.id}.moisture_${figure}`);
  const query = new URLSearchParams({
    station: spool.station,
    keys: keys.join(),
    fromMs: String(Math.max(0, Math.floor(fromMs))),
    toMs: String(Math.ceil(toMs)),
    buckets: String(buckets),
  });
  const answer = (await fetchJson(`/api/history?${query}`, cancelled)) as HistoryAnswer;
  const [low, middle, high] = keys.map((key) => answer.series[key]);
  if (!low || !middle || !high) return [];
  return middle.atMs.flatMap((atMs, index) => {
    const [from, to] = [low.mean[index], high.mean[index]];
    return from === undefined || to === undefined
      ? []
      : [{ atMs, low: from, middle: middle.mean[index]!, high: to }];
  });
}

export const fetchLife = (
  fetchJson: FetchJson,
  spool: { readonly id: string; readonly station: string },
  nowMs: number,
  cancelled: AbortSignal,
): Promise<BandPoint[]> => bandsOf(fetchJson, spool, nowMs - LIFE_MS, nowMs, LIFE_BUCKETS, cancelled);

export const fetchDiary = async (
  fetchJson: FetchJson,
  spool: string,
  cancelled: AbortSignal,
): Promise<readonly DiaryEntry[]> =>
  ((await fetchJson(`/api/diary?${new URLSearchParams({ spool })}`, cancelled)) as Diary).entries;

/** What a spool weighed last, as it was entered; null: it was not weighed. */
export const fetchLastWeighed = async (
  fetchJson: FetchJson,
  spool: string,
  cancelled: AbortSignal,
): Promise<number | null> =>
  (await fetchDiary(fetchJson, spool, cancelled)).findLast((one) => one.kind === 'weigh-in' && !one.undone)
    ?.massG ?? null;

export interface Narrowing {
  readonly before: BandPoint;
  readonly after: BandPoint;
  /** Of the band on the scale of factors, whole per cent; 0 or less: no narrower. */
  readonly percent: number;
}

/** The band of the last fit before a weigh-in and of the first after it; null until that has come. */
export async function fetchNarrowing(
  fetchJson: FetchJson,
  spool: { readonly id: string; readonly station: string },
  atMs: number,
  cancelled: AbortSignal,
): Promise<Narrowing | null> {
  const around = await bandsOf(fetchJson, spool, atMs - AROUND_MS, atMs + AROUND_MS, 2000, cancelled);
  return narrowingAt(around, atMs);
}

export function narrowingAt(around: readonly BandPoint[], atMs: number): Narrowing | null {
  const before = around.findLast((point) => point.atMs < atMs);
  const after = around.find((point) => point.atMs > atMs);
  if (!before || !after) return null;
  const width = ({ low, high }: BandPoint): number => Math.log(high / Math.max(1e-6, low));
  return { before, after, percent: Math.round(100 * (1 - width(after) / width(before))) };
}
