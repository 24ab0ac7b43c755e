/**
 * Retained state of what is no longer on the bench: a broker keeps it for ever (over MQTT 3.1.1), so it is taken off
 * again. Only topics that this receiver was given before are touched, and they are remembered before they are given:
 * nothing is left behind by a program that was killed in between.
 */
import type { Publication } from './topics.ts';

export interface KnownTopics {
  /** Broker and prefix; topics of another are out of reach. */
  readonly where: string;
  readonly topics: readonly string[];
}

/** What outlives a restart. */
export interface TopicBook {
  read(receiver: string): KnownTopics | null;
  write(receiver: string, known: KnownTopics): void;
}

/** A state has 512 topics at most; beyond four benches' worth the oldest are forgotten. */
const MOST_KNOWN = 2048;

export interface Clearing {
  /** To be remembered before anything is published; null: it is already. */
  readonly before: KnownTopics | null;
  /** What to publish first: an empty retained message takes a topic off the broker. */
  readonly clears: readonly Publication[];
  /** To be remembered once the broker has taken all; null: it is already. */
  readonly after: KnownTopics | null;
}

/** `isHere`: whether a topic's station or spool is on the bench, though nothing may be known of it now. */
export function clearLeftBehind(
  known: KnownTopics | null,
  where: string,
  publications: readonly Publication[],
  isHere: (topic: string) => boolean,
): Clearing {
  const had = known?.where === where ? known.topics : [];
  const given = new Set(publications.map(({ topic }) => topic));
  const isGone = (topic: string): boolean => !given.has(topic) && !isHere(topic);
  const fresh = [...given].filter((topic) => !had.includes(topic));
  const all = [...had, ...fresh].slice(-MOST_KNOWN);
  const gone = all.filter(isGone);
  return {
    before: fresh.length > 0 || known?.where !== where ? { where, topics: all } : null,
    clears: gone.map((topic) => ({ topic, payload: '', retain: true })),
    after: gone.length > 0 ? { where, topics: all.filter((topic) => !isGone(topic)) } : null,
  };
}
