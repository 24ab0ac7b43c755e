/**
 * What must outlive a restart: the spools as people have them and the trackers as they stand. A bench file's
 * spools only seed an empty state.
 */
import type { BenchConfig, SpoolConfig } from '../config/bench.ts';
import type { Engine, SavedEngine } from '../engine.ts';
import type { DryingState } from '../estimators/drying/state.ts';
import type { Job } from '../estimators/jobs/job.ts';
import type { SoakState } from '../estimators/soak/state.ts';

/** A document store as far as this file needs it. */
export interface Documents {
  put(kind: string, id: string, value: unknown): void;
  all(kind: string): readonly { readonly id: string; readonly value: unknown }[];
}

export const SPOOL = 'spool';
/** The bench file's spools were taken over once: an empty list is meant so. */
export const SEEDED = 'spools-seeded';
const DRYING = 'drying';
const SOAK = 'soak';
const JOB = 'job';
/** One document: jobs come and go in it. */
const WAITING = 'waiting';
/** Trackers of another version are begun anew rather than misread. */
const DRYING_VERSION = 1;
const SOAK_VERSION = 2;
const JOB_VERSION = 1;

/** The bench with the state's spools in place of its own; an empty state is seeded from the bench. */
export function spoolsFromState(bench: BenchConfig, documents: Documents): BenchConfig {
  const kept = documents.all(SPOOL);
  if (kept.length > 0 || documents.all(SEEDED).length > 0)
    return { ...bench, spools: kept.map(({ value }) => value as SpoolConfig) };
  for (const spool of bench.spools) documents.put(SPOOL, spool.id, spool);
  return bench;
}

export function savedEngine(documents: Documents): SavedEngine {
  const ofVersion = <S extends { readonly version: number }>(kind: string, version: number) =>
    Object.fromEntries(
      documents.all(kind).flatMap(({ id, value }) => {
        const state = value as S;
        return state.version === version ? [[id, state] as const] : [];
      }),
    );
  return {
    drying: ofVersion<DryingState>(DRYING, DRYING_VERSION),
    soak: ofVersion<SoakState>(SOAK, SOAK_VERSION),
    jobs: ofVersion<Job>(JOB, JOB_VERSION),
    waiting: Object.fromEntries(
      Object.entries(waitingOf(documents)).filter(([, { version }]) => version === JOB_VERSION),
    ),
  };
}

const waitingOf = (documents: Documents): SavedEngine['waiting'] =>
  (documents.all(WAITING)[0]?.value as SavedEngine['waiting'] | undefined) ?? {};

/** Writes the trackers that were fitted since the last call, or all of them. */
export function createKeeper(engine: Engine, documents: Documents): (which: 'changed' | 'all') => void {
  const kept = new Map<string, number>();
  let keptWaiting = JSON.stringify(waitingOf(documents));
  const keep = (which: 'changed' | 'all', kind: string, id: string, state: object, ofMs: number): void => {
    const key = `${kind} ${id}`;
    if (which === 'changed' && kept.get(key) === ofMs) return;
    kept.set(key, ofMs);
    documents.put(kind, id, state);
  };
  return (which) => {
    const { drying, soak, jobs, waiting } = engine.save();
    for (const [id, state] of Object.entries(drying)) keep(which, DRYING, id, state, state.summaryMs);
    // A chamber without a heat-up has little to lose: its last minutes.
    for (const [id, state] of Object.entries(soak)) keep(which, SOAK, id, state, state.run?.summaryMs ?? 0);
    for (const [id, job] of Object.entries(jobs)) keep(which, JOB, id, job, jobMark(job));
    const waits = JSON.stringify(waiting);
    if (waits !== keptWaiting) documents.put(WAITING, WAITING, waiting);
    keptWaiting = waits;
  };
}

/** Another number whenever a job has moved on or was judged. */
const jobMark = (job: Job): number => job.atMs + (job.verdict ? 0.5 : 0);
