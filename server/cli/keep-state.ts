/**
 * What must outlive a restart: the spools as people have them and the drying trackers as they stand. A bench file's
 * spools only seed an empty state.
 */
import type { BenchConfig, SpoolConfig } from '../config/bench.ts';
import type { Engine, SavedEngine } from '../engine.ts';
import type { DryingState } from '../estimators/drying/state.ts';

/** A document store as far as this file needs it. */
export interface Documents {
  put(kind: string, id: string, value: unknown): void;
  all(kind: string): readonly { readonly id: string; readonly value: unknown }[];
}

const SPOOL = 'spool';
const DRYING = 'drying';
/** Trackers of another version are begun anew rather than misread. */
const DRYING_VERSION = 1;

/** The bench with the state's spools in place of its own; an empty state is seeded from the bench. */
export function spoolsFromState(bench: BenchConfig, documents: Documents): BenchConfig {
  const kept = documents.all(SPOOL);
  if (kept.length > 0) return { ...bench, spools: kept.map(({ value }) => value as SpoolConfig) };
  for (const spool of bench.spools) documents.put(SPOOL, spool.id, spool);
  return bench;
}

export function savedEngine(documents: Documents): SavedEngine {
  const drying = documents.all(DRYING).flatMap(({ id, value }) => {
    const state = value as DryingState;
    return state.version === DRYING_VERSION ? [[id, state] as const] : [];
  });
  return { drying: Object.fromEntries(drying) };
}

/** Writes the trackers that were fitted since the last call, or all of them. */
export function createKeeper(engine: Engine, documents: Documents): (which: 'changed' | 'all') => void {
  const fitted = new Map<string, number>();
  return (which) => {
    for (const [id, state] of Object.entries(engine.save().drying)) {
      if (which === 'changed' && fitted.get(id) === state.summaryMs) continue;
      fitted.set(id, state.summaryMs);
      documents.put(DRYING, id, state);
    }
  };
}
