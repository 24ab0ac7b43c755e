/** The bench's numbers as brokers are given them each minute: what a person or a program acts on, without the curves. */
import type { Snapshot } from '../api/messages.ts';
import { level, type Publication } from '../notifiers/topics.ts';
import { utcText } from '../utc.ts';

/** A bench has a few stations and spools; one that has hundreds is not written out to a broker each minute. */
const MOST_TOPICS = 512;

export function liveState({ stations, spools, chambers, simulated }: Snapshot): readonly Publication[] {
  const mark = simulated === null ? null : 'SIMULATED';
  const publication = (topic: string, value: object): Publication => ({
    topic,
    payload: JSON.stringify({ mark, ...value }),
    retain: true,
  });
  return [
    ...stations.map(({ id, quiet, heardMs, air }) =>
      publication(`station/${level(id)}/air`, { quiet, ...told({ heardMs, ...air }) }),
    ),
    ...spools.flatMap(({ id, station, materialKey, limitWtPercent, drying }) =>
      drying
        ? [
            publication(`spool/${level(id)}/drying`, {
              station,
              material: materialKey,
              limitWtPercent,
              ...told(drying),
            }),
          ]
        : [],
    ),
    ...chambers.map((chamber) => publication(`station/${level(chamber.station)}/soak`, told(chamber))),
  ].slice(0, MOST_TOPICS);
}

/** Whether a topic's station or spool is on the bench, known of or not. */
export function isOnBench({ stations, spools }: Pick<Snapshot, 'stations' | 'spools'>) {
  const places = new Set([
    ...stations.map(({ id }) => `station/${level(id)}`),
    ...spools.map(({ id }) => `spool/${level(id)}`),
  ]);
  return (topic: string): boolean => places.has(topic.split('/').slice(0, 2).join('/'));
}

/** Curves and explanations are for the page. */
const LEFT_OUT = new Set(['forecast', 'profileWtPercent', 'posterior', 'assumptions', 'sharpen', 'notes']);

/** Inside, a time is `…Ms`, epoch milliseconds; to others it is RFC 3339 text: `dryAtMs` becomes `dryAt`. */
function told(value: object): object {
  return Object.fromEntries(
    Object.entries(value).flatMap(([key, entry]) => {
      if (LEFT_OUT.has(key)) return [];
      return key.endsWith('Ms') ? [[key.slice(0, -2), timeOrTimes(entry)]] : [[key, entry]];
    }),
  );
}

function timeOrTimes(entry: unknown): unknown {
  if (typeof entry === 'number') return utcText(entry);
  if (typeof entry !== 'object' || entry === null) return entry;
  return Object.fromEntries(Object.entries(entry).map(([key, time]) => [key, timeOrTimes(time)]));
}
