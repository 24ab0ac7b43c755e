/** The spools of a bench as people have them: added and taken off from the page, kept in the state. */
import type { NewSpool, SpoolOutcome, SpoolsView } from '../api/routes-spools.ts';
import { type BenchConfig, SPOOL_ROLES, type SpoolConfig } from '../config/bench.ts';
import { MATERIAL_KEYS } from '../physics/materials.ts';
import { type Documents, SEEDED, SPOOL } from './keep-state.ts';

export interface SpoolBookParts {
  readonly bench: BenchConfig;
  readonly documents: Documents & { remove(kind: string, id: string): boolean };
  /** An invented bench keeps its own spools. */
  readonly isSimulated: boolean;
  /** A job runs on the spool. */
  isPrinting(id: string): boolean;
  /** The spools are others now: begin anew with them. */
  changed(): void;
}

/** More than lie about on any one bench. */
const MOST_SPOOLS = 40;

const refuse = (reason: 'unknown-name' | 'bad-value', detail: string): SpoolOutcome => ({
  ok: false,
  reason,
  detail,
});

export function createSpoolBook({ bench, documents, isSimulated, ...parts }: SpoolBookParts): SpoolsView {
  const invented = (): SpoolOutcome =>
    refuse('bad-value', 'This bench is simulated: its spools are invented. Set up your own bench first.');
  return {
    add(spool) {
      if (isSimulated) return invented();
      if (bench.spools.some(({ id }) => id === spool.id))
        return refuse('bad-value', `There is a spool "${spool.id}" already: give a new reel a new name.`);
      if (bench.spools.length >= MOST_SPOOLS)
        return refuse('bad-value', `There are ${MOST_SPOOLS} spools already: take one off first.`);
      const station = bench.stations.find(({ id }) => id === spool.station);
      if (!station || !SPOOL_ROLES.includes(station.role))
        return refuse('unknown-name', `No box or chamber is called "${spool.station}".`);
      if (!MATERIAL_KEYS.includes(spool.material))
        return refuse('unknown-name', `No material is called "${spool.material}" in the table.`);
      documents.put(SPOOL, spool.id, described(spool));
      documents.put(SEEDED, SEEDED, true);
      parts.changed();
      return { ok: true };
    },
    remove(id) {
      if (isSimulated) return invented();
      if (!bench.spools.some((spool) => spool.id === id))
        return refuse('unknown-name', `No spool is called "${id}".`);
      if (parts.isPrinting(id)) return refuse('bad-value', `A job runs on spool "${id}": end it first.`);
      documents.put(SEEDED, SEEDED, true);
      documents.remove(SPOOL, id);
      parts.changed();
      return { ok: true };
    },
  };
}

const described = (spool: NewSpool): SpoolConfig => ({
  id: spool.id,
  station: spool.station,
  material: spool.material,
  netMassG: spool.netMassG,
  fibreWtPercent: spool.fibreWtPercent ?? 0,
  diameterMm: spool.diameterMm ?? 1.75,
  reel: spool.reel,
  reelMassG: null,
  stored: spool.stored,
  storedRhPercent: spool.storedRhPercent ?? null,
  limitWtPercent: spool.limitWtPercent ?? null,
});
