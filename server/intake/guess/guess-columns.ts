/** Lines of nothing but columns of numbers, with or without a line of names above them. */
import type { Candidate } from './candidate.ts';
import { legible } from './line-shape.ts';
import { quantityOf } from './quantity.ts';
import { settleKeys } from './settle-keys.ts';

/** Where columns part, as the reader of patterns has it. */
const PARTING = /\s*[,;\t]\s*|\s+/;
const NUMBER = /^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)$/;
const NOTHING = /^[+-]?(nan|inf|ovf|null|none|--)$/i;
const TIME = /^\d{1,4}([-/.:]\d{1,2}){1,2}([T ]?\d\d?:\d\d(:\d\d(\.\d+)?)?)?(Z|[+-]\d\d:?\d\d)?$/;
/** Below this share of the lines they are no columns but something else that has a few lines of numbers. */
const LEAST_SHARE = 0.5;

const cellsOf = (line: string): string[] => line.trim().split(PARTING);
const isCell = (cell: string): boolean => NUMBER.test(cell) || NOTHING.test(cell) || TIME.test(cell);

export function guessColumns(lines: readonly string[]): Candidate | null {
  const rows = lines.map(cellsOf).filter((cells) => cells.every(isCell));
  const width = commonest(rows.map((cells) => cells.length));
  const own = rows.filter((cells) => cells.length === width);
  if (width === null || own.length < LEAST_SHARE * lines.length || !own.some(hasNumber)) return null;
  const header = headerOf(lines, width);
  const doubts: string[] = [];
  const columns = Array.from({ length: width }, (_, i) => own.map((cells) => cells[i] as string));
  const slots = columns.map((cells, i) => {
    const label = header?.names[i] ?? '';
    const values = cells.filter((cell) => NUMBER.test(cell)).map(Number);
    const isTime = cells.every((cell) => TIME.test(cell) && !NUMBER.test(cell));
    const quantity = isTime
      ? ({ key: '-', ground: 'name', why: 'a time', doubt: null } as const)
      : quantityOf(legible(label), null, values, i + 1);
    return { shape: 0, label: legible(label), values, quantity };
  });
  const settled = settleKeys(slots, doubts);
  return {
    kind: 'columns',
    settled,
    samples: columns.map((cells) => cells.findLast((cell) => NUMBER.test(cell)) ?? (cells[0] as string)),
    doubts,
    headers: header ? [header.line] : [],
    patterns: (keys) => [{ take: { columns: trimSkips(keys) }, slots: [...keys.keys()] }],
  };
}

const hasNumber = (cells: readonly string[]): boolean => cells.some((cell) => NUMBER.test(cell));

/** A line of as many names; a name may hold blanks where commas or tabs part the columns. */
function headerOf(
  lines: readonly string[],
  width: number,
): { line: string; names: readonly string[] } | null {
  for (const line of lines) {
    const apart = line.trim().split(/[,;\t]/);
    for (const cells of [apart.map((cell) => cell.trim()), cellsOf(line)])
      if (cells.length === width && cells.every((cell) => /[A-Za-z]/.test(cell) && !isCell(cell)))
        return { line, names: cells };
  }
  return null;
}

/** What is left out at the end need not be named: the reader passes over columns to spare. */
function trimSkips(keys: readonly string[]): readonly string[] {
  const last = keys.findLastIndex((key) => key !== '-');
  return keys.slice(0, last + 1);
}

function commonest(numbers: readonly number[]): number | null {
  const counts = new Map<number, number>();
  for (const one of numbers) counts.set(one, (counts.get(one) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
}
