/**
 * Alarms and news over a restart: one document each, written when something happened to it and once a minute. Notices
 * lie beside them from the moment they are decided until they have been handed on, so that a program that is killed in
 * between tells them after all, with the same ids.
 */
import type { Alarm, News } from '../alerts/book.ts';
import type { Crowd } from '../alerts/crowd.ts';
import type { AlertSettings } from '../alerts/settings.ts';
import { USUAL_SETTINGS } from '../alerts/settings.ts';
import type { Instant } from '../clock.ts';
import type { AlertDesk, SavedAlertDesk } from '../desks/alert-desk.ts';
import type { Notice } from '../records.ts';

/** A document store as far as this file needs it. */
export interface AlertDocuments {
  put(kind: string, id: string, value: unknown): void;
  all(kind: string): readonly { readonly id: string; readonly value: unknown }[];
  remove(kind: string, id: string): boolean;
  together<T>(work: () => T): T;
}

const ALARM = 'alarm';
const NEWS = 'news';
const AIR = 'alert-air';
const DESK = 'alert-desk';
const OUTBOX = 'alert-outbox';
const SETTINGS = 'alert-settings';
const ONE = 'all';
const VERSION = 1;

interface DeskDocument {
  readonly version: number;
  readonly savedMs: number;
  readonly crowd: Crowd;
  readonly sources: SavedAlertDesk['sources'];
  readonly out: SavedAlertDesk['out'];
}

/** Null: nothing was kept, or by another version. */
export function savedAlerts(documents: AlertDocuments): SavedAlertDesk | null {
  const desk = documents.all(DESK)[0]?.value as DeskDocument | undefined;
  if (desk?.version !== VERSION) return null;
  const all = <T>(kind: string) => documents.all(kind).map(({ id, value }) => [id, value as T] as const);
  return {
    version: VERSION,
    book: {
      version: VERSION,
      savedMs: desk.savedMs,
      crowd: desk.crowd,
      alarms: all<Alarm>(ALARM),
      news: all<News>(NEWS),
    },
    sources: desk.sources,
    out: desk.out,
    air: Object.fromEntries(all<SavedAlertDesk['air'][string]>(AIR)),
  };
}

export const savedSettings = (documents: AlertDocuments): AlertSettings =>
  (documents.all(SETTINGS)[0]?.value as AlertSettings | undefined) ?? USUAL_SETTINGS;

export const keepSettings = (documents: AlertDocuments, settings: AlertSettings): void =>
  documents.put(SETTINGS, ONE, settings);

export interface AlertKeeper {
  /** Writes what changed since the last call, and notices that are now to be handed on, all or nothing. */
  keep(at: Instant, notices?: readonly Notice[]): void;
  /** Notices that were decided on before the last end and perhaps not handed on. */
  left(): readonly Notice[];
  /** They are in other hands. */
  handedOn(): void;
}

export function createAlertKeeper(desk: AlertDesk, documents: AlertDocuments): AlertKeeper {
  const kept = new Map<string, string>(
    [ALARM, NEWS].flatMap((kind) =>
      documents.all(kind).map(({ id, value }) => [`${kind} ${id}`, JSON.stringify(value)] as const),
    ),
  );
  let waiting = documents.all(OUTBOX).length > 0;

  const put = (kind: string, id: string, value: unknown): void => {
    const text = JSON.stringify(value);
    const key = `${kind} ${id}`;
    if (kept.get(key) === text) return;
    documents.put(kind, id, value);
    kept.set(key, text);
  };

  return {
    keep(at, notices = []) {
      const { book, sources, out, air } = desk.save(at);
      documents.together(() => {
        const present = new Set<string>();
        for (const [kind, entries] of [
          [ALARM, book.alarms],
          [NEWS, book.news],
        ] as const)
          for (const [id, entry] of entries) {
            present.add(`${kind} ${id}`);
            put(kind, id, entry);
          }
        for (const key of kept.keys()) {
          if (present.has(key)) continue;
          const space = key.indexOf(' ');
          documents.remove(key.slice(0, space), key.slice(space + 1));
          kept.delete(key);
        }
        for (const [id, watch] of Object.entries(air)) documents.put(AIR, id, watch);
        const { crowd, savedMs } = book;
        documents.put(DESK, ONE, { version: VERSION, savedMs, crowd, sources, out } satisfies DeskDocument);
        if (notices.length === 0) return;
        documents.put(OUTBOX, ONE, notices);
        waiting = true;
      });
    },
    left: () => (documents.all(OUTBOX)[0]?.value as readonly Notice[] | undefined) ?? [],
    handedOn() {
      if (!waiting) return;
      documents.remove(OUTBOX, ONE);
      waiting = false;
    },
  };
}
