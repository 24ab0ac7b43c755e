/** A job as a replay's record, and in wall time. */
import { fedG, type Job } from '../estimators/jobs/job.ts';
import type { JobRecord, Sample } from '../records.ts';

/** Steady time to the wall's, where the clock was set since. */
export function shiftedJob(job: Job, shiftMs: number): Job {
  if (shiftMs === 0) return job;
  const move = (ms: number | null): number | null => (ms === null ? null : ms + shiftMs);
  return {
    ...job,
    startedMs: job.startedMs + shiftMs,
    endedMs: move(job.endedMs),
    atMs: job.atMs + shiftMs,
    excursions: job.excursions.map((one) => ({
      ...one,
      fromMs: one.fromMs + shiftMs,
      toMs: move(one.toMs),
    })),
  };
}

export function jobRecord(job: Job, wallMs: number): JobRecord {
  const iso = (ms: number): string => new Date(Math.round(ms)).toISOString();
  return {
    at: iso(wallMs),
    kind: 'job',
    job: job.plan.id,
    spool: job.plan.spool,
    station: job.plan.chamber,
    state: job.state,
    startedAt: iso(job.startedMs),
    endedAt: job.endedMs === null ? null : iso(job.endedMs),
    fedG: fedG(job),
    fedWtPercent: job.fedWtPercent,
    pSpoolAtStart: job.pSpoolAtStart,
    excursions: job.excursions.map(({ kind, station, fromMs, toMs, worst, limit }) => ({
      kind,
      station,
      from: iso(fromMs),
      to: toMs === null ? null : iso(toMs),
      worst,
      limit,
    })),
    outcome: job.verdict?.outcome ?? null,
  };
}

/** Moisture of the turn being fed, at the spool's station: `<spool>.fed_p05`, `_p50`, `_p95`. */
export function fedSamples(job: Job, station: string, wallMs: number): readonly Sample[] {
  return (['p05', 'p50', 'p95'] as const).flatMap((quantile) => {
    const value = job.fedWtPercent?.[quantile];
    if (value === undefined) return [];
    return [
      { station, key: `${job.plan.spool}.fed_${quantile}`, atMs: Math.round(wallMs), value, flagged: false },
    ];
  });
}
