/** `[[pattern]]`: lines of other people's sketches, by columns or by a regular expression with named groups. */
import { KEY_PATTERN } from '../../firmware-protocol/line.ts';
import type { PatternConfig } from './bench.ts';
import { listOf, type Reader, type Table, text } from './fields.ts';

const SKIP = '-';

export function readPattern(
  table: Table,
  source: Reader<string>,
  station: Reader<string>,
): PatternConfig | undefined {
  const from = table.need('source', source);
  const to = table.need('station', station);
  const columns = table.may(
    'columns',
    listOf(
      text(
        `a key (letters, digits, _) or "${SKIP}" for a column to skip`,
        /^(-|[A-Za-z][A-Za-z0-9_.-]{0,31})$/,
      ),
    ),
    null,
  );
  const regex = table.may('regex', text('a regular expression'), null);
  if ((columns === null) === (regex === null)) {
    if (!table.has('columns') && !table.has('regex'))
      table.note(null, 'give columns = ["t", "rh"] or regex = "(?<t>…)".');
    else if (columns !== null) table.note('regex', 'give columns or regex, not both.');
    return undefined;
  }
  if (regex !== null) {
    const groups = namedGroups(regex);
    if (groups === null) table.note('regex', `regex = "${regex}" is not a regular expression.`);
    else if (groups.length === 0)
      table.note('regex', 'regex names no group; name each value by its key: (?<t>…).');
    else if (!groups.every((group) => KEY_PATTERN.test(group)))
      table.note('regex', 'each group must bear the name of a key.');
  }
  if (from === undefined || to === undefined) return undefined;
  if (columns !== null) return { source: from, station: to, take: { columns } };
  return regex === null ? undefined : { source: from, station: to, take: { regex } };
}

/** Names of the groups, or null where the text is no regular expression. */
export function namedGroups(regex: string): readonly string[] | null {
  try {
    // An empty alternative always matches, so that the groups can be listed without an input.
    return Object.keys(new RegExp(`${regex}|`).exec('')?.groups ?? {});
  } catch {
    return null;
  }
}
