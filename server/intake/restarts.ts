/** How often the boards of each source began again, and why, as their hellos say it. */

/** By cause: `brown-out`, `watchdog`, `external`, `power-on`, or what else a board calls it. */
export type RestartCounts = Readonly<Record<string, number>>;

export interface Restarts {
  note(source: string, cause: string): void;
  all(): Readonly<Record<string, RestartCounts>>;
}

/** Causes kept apart; a board that invents a new one each time must not fill the memory. */
const MOST_CAUSES = 12;
const OTHER = 'other';

export function createRestarts(): Restarts {
  const bySource = new Map<string, Record<string, number>>();
  return {
    note(source, cause) {
      const counts = bySource.get(source) ?? {};
      const key = cause in counts || Object.keys(counts).length < MOST_CAUSES ? cause : OTHER;
      counts[key] = (counts[key] ?? 0) + 1;
      bySource.set(source, counts);
    },
    all: () => Object.fromEntries(bySource),
  };
}

const CAUSES: Readonly<Record<string, string>> = {
  'brown-out': 'its supply sagged (brown-out)',
  watchdog: 'its program hung (watchdog)',
  external: 'its reset line was pulled, as opening the port does',
  'power-on': 'its supply was switched on',
};
export const restartWords = (cause: string): string => CAUSES[cause] ?? `cause: ${cause}`;
/** Causes that want somebody's attention. */
export const isTroubling = (cause: string): boolean => cause === 'brown-out' || cause === 'watchdog';
