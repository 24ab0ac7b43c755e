/** A proposed bench file for what was heard: the source, its stations, and how their lines are read. */

import type { LinesGuess, PatternGuess } from '../intake/guess/guess-lines.ts';
import type { Role } from '../records.ts';

export interface ProposedSource {
  readonly id: string;
  /** Lines of its table beside the id: `port = "…"`, `baud = 9600`. */
  readonly lines: readonly string[];
}

/** Names that people give to stations, and the role that mostly goes with them: common practice, no source. */
const ROLE_WORDS: readonly (readonly [role: Role, words: RegExp])[] = [
  ['room', /room|ambient|outside|desk/i],
  ['chamber', /chamber|rig|enclosure|printer/i],
  ['electronics', /elec|bay|cabinet|psu/i],
  ['storage', /stor|shelf|bag|cupboard/i],
];

export const roleOf = (station: string): Role =>
  ROLE_WORDS.find(([, words]) => words.test(station))?.[0] ?? 'drybox';

const quoted = (text: string): string => JSON.stringify(text);

/** A station and what was understood of the lines for it. */
export interface Place {
  readonly id: string;
  readonly role: Role;
  readonly guess: LinesGuess;
}

/** Lines that name their stations themselves need no place of ours. */
export function proposeBench(places: readonly Place[], source: ProposedSource): string {
  const named = places[0]?.guess.stations ?? [];
  const stations = named.length > 0 ? named.map((id) => ({ id, role: roleOf(id) })) : places;
  return [
    '[[source]]',
    `id = ${quoted(source.id)}`,
    ...source.lines,
    ...stations.flatMap(({ id, role }) => [
      '',
      '[[station]]',
      `id = ${quoted(id)}`,
      `role = ${quoted(role)}  # where this sensor is: drybox, storage, chamber, room or electronics`,
    ]),
    ...places.flatMap(({ id, guess }) =>
      guess.patterns.flatMap((pattern) => patternTable(pattern, source.id, id)),
    ),
  ].join('\n');
}

function patternTable({ take, columns }: PatternGuess, source: string, station: string): readonly string[] {
  const notes = columns
    .filter(({ key }) => key !== '-')
    .map(({ key, sample, why }) => `# ${key}: ${sample}, ${why}`);
  return [
    '',
    '[[pattern]]',
    `source = ${quoted(source)}`,
    `station = ${quoted(station)}`,
    ...notes,
    'columns' in take ? `columns = [${take.columns.map(quoted).join(', ')}]` : `regex = '${take.regex}'`,
  ];
}
