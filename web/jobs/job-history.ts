/** What was measured through a job, as its lanes draw it: fetched once, and again now and then while it runs. */
import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { HistoryAnswer } from '../../server/api/messages.ts';
import type { JobState } from '../../server/api/messages-jobs.ts';
import { askJson } from '../ask.ts';
import { historyPath } from '../history.ts';

/** Two pixels a bucket on half a sheet. */
const BUCKETS = 260;
/** A job that runs is fetched again after so much of the bench's time. */
const AGAIN_MS = 300_000;

export type Column = HistoryAnswer['series'][string];
export interface JobSeries {
  readonly jobId: string;
  readonly bucketMs: number;
  readonly chamber: Column | null;
  readonly humidity: Column | null;
  readonly fed: { readonly p05: Column; readonly p50: Column; readonly p95: Column } | null;
}

export const endOf = (job: JobState): number => job.endedMs ?? job.atMs;

export function useJobHistory(job: JobState | null, boxId: string | null): Signal<JobSeries | null> {
  const series = useSignal<JobSeries | null>(null);
  const toMs =
    job === null ? 0 : job.state === 'ended' ? endOf(job) : Math.ceil(job.atMs / AGAIN_MS) * AGAIN_MS;
  useEffect(() => {
    if (!job) return;
    const calledOff = new AbortController();
    if (series.peek()?.jobId !== job.id) series.value = null;
    void fetchSeries(job, boxId, toMs, calledOff.signal).then((found) => {
      if (found && !calledOff.signal.aborted) series.value = found;
    });
    return () => calledOff.abort();
  }, [series, job?.id, boxId, toMs]);
  return series;
}

async function fetchSeries(
  job: JobState,
  boxId: string | null,
  toMs: number,
  calledOff: AbortSignal,
): Promise<JobSeries | null> {
  const fed = (['p05', 'p50', 'p95'] as const).map((quantile) => `${job.spool}.fed_${quantile}`);
  const ask = async (station: string | null, keys: readonly string[]): Promise<HistoryAnswer | null> => {
    if (station === null) return null;
    const question = {
      ids: [],
      fromMs: job.startedMs,
      toMs: Math.max(toMs, job.startedMs + 1000),
      buckets: BUCKETS,
    };
    const answer = await askJson<HistoryAnswer>(historyPath(station, keys, question), calledOff);
    return answer.ok ? answer.value : null;
  };
  const [box, chamber] = await Promise.all([ask(boxId, ['rh', ...fed]), ask(job.chamber, ['t'])]);
  const known = box ?? chamber;
  if (!known) return null;
  const own = (answer: HistoryAnswer | null, key: string): Column | null =>
    answer?.series[key] ? withinJob(answer.series[key], answer.bucketMs, job) : null;
  const [p05, p50, p95] = fed.map((key) => own(box, key));
  return {
    jobId: job.id,
    bucketMs: known.bucketMs,
    chamber: own(chamber, 't'),
    humidity: own(box, 'rh'),
    fed: p05 && p50 && p95 ? { p05, p50, p95 } : null,
  };
}

/** Buckets that lie in the job's time altogether: its edges share theirs with what was before and after. */
export function withinJob(column: Column, bucketMs: number, job: JobState): Column | null {
  const inside = (_: number, i: number): boolean =>
    column.atMs[i]! >= job.startedMs && column.atMs[i]! + bucketMs <= endOf(job) + 1;
  const atMs = column.atMs.filter(inside);
  if (atMs.length === 0) return null;
  return {
    atMs,
    min: column.min.filter(inside),
    mean: column.mean.filter(inside),
    max: column.max.filter(inside),
  };
}
