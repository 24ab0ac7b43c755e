/** What a person enters of spools and lids: judged before it counts, then handed to the trackers as an event. */
import type { SpoolConfig, StationConfig } from '../config/bench.ts';
import type { DryingEvent } from '../estimators/drying/tracker.ts';
import type { UserEntry } from '../records.ts';

type PlainEvent = Extract<DryingEvent, { readonly kind: 'run-start' }>;

/** What became of an entry; a refusal says what to do. */
export type Entered =
  | { readonly ok: true; readonly spools: readonly string[] }
  | {
      readonly ok: false;
      readonly reason: 'unknown-kind' | 'unknown-name' | 'bad-value' | 'nothing-to-undo';
      readonly detail: string;
    };

const SPOOL_ENTRIES: ReadonlySet<string> = new Set([
  'weigh-in',
  'spool-in',
  'spool-out',
  'bagged',
  'run-start',
  'weigh-in-undone',
]);
/** Step of a kitchen scale, where none is said. */
const USUAL_RESOLUTION_G = 1;
/** How long a lid is open when a person only says that it was. */
const USUAL_LID_S = 30;

const amount = (value: unknown): number | null =>
  typeof value === 'number' && Number.isFinite(value) ? value : null;

/** A judged entry as the tracker's event. */
export function eventOf(entry: UserEntry, atMs: number): DryingEvent {
  switch (entry.kind) {
    case 'weigh-in':
      return {
        kind: 'weigh-in',
        atMs,
        massG: amount(entry['massG']) ?? 0,
        resolutionG: amount(entry['resolutionG']) ?? USUAL_RESOLUTION_G,
      };
    case 'lid':
      return { kind: 'lid', atMs, openS: amount(entry['openS']) ?? USUAL_LID_S };
    default:
      return { kind: entry.kind as PlainEvent['kind'], atMs };
  }
}

/** Whether an entry is one, and which spools it bears on. */
export function judgeEntry(
  entry: UserEntry,
  spools: readonly SpoolConfig[],
  stations: readonly StationConfig[],
): Entered {
  const refuse = (reason: (Entered & { ok: false })['reason'], detail: string): Entered => ({
    ok: false,
    reason,
    detail,
  });
  const takes = (found: readonly SpoolConfig[]): Entered => ({
    ok: true,
    spools: found.map(({ id }) => id),
  });
  const named = spools.filter(({ id }) => id === entry['spool']);
  if (entry.kind !== 'lid' && SPOOL_ENTRIES.has(entry.kind) && named.length === 0)
    return refuse('unknown-name', `No spool is called "${String(entry['spool'] ?? '')}".`);
  switch (entry.kind) {
    case 'weigh-in': {
      const massG = amount(entry['massG']);
      const resolutionG = amount(entry['resolutionG'] ?? USUAL_RESOLUTION_G);
      if (massG === null || !(massG > 0 && massG < 50_000))
        return refuse(
          'bad-value',
          'A weigh-in needs massG, the whole spool with its reel, in grams (0–50000).',
        );
      if (resolutionG === null || !(resolutionG > 0 && resolutionG <= 100))
        return refuse('bad-value', 'resolutionG is the step of the scale in grams, 0–100.');
      return takes(named);
    }
    case 'spool-in':
    case 'spool-out':
    case 'bagged':
    case 'run-start':
    case 'weigh-in-undone':
      return takes(named);
    case 'lid': {
      const station = entry['station'];
      if (typeof station !== 'string' || !stations.some(({ id }) => id === station))
        return refuse('unknown-name', `No station is called "${String(station ?? '')}".`);
      const openS = amount(entry['openS'] ?? USUAL_LID_S);
      if (openS === null || !(openS > 0 && openS <= 86_400))
        return refuse('bad-value', 'openS is how long the lid was open, in seconds (0–86400).');
      return takes(spools.filter((spool) => spool.station === station));
    }
    default:
      return refuse('unknown-kind', `"${entry.kind}" is nothing that can be entered.`);
  }
}
