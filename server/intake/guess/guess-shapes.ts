/** Lines of words and numbers: key=value, JSON objects, sentences. Each shape that carries values becomes a pattern. */
import type { Candidate, LinesKind } from './candidate.ts';
import { isSlot, legible, type Part, type Shape, shapeOf, shapeToRegex } from './line-shape.ts';
import { quantityOf } from './quantity.ts';
import { type Slot, settleKeys } from './settle-keys.ts';
import { partBetween } from './units.ts';

/** Shapes that come less often than this are a start-up message, not readings. */
const LEAST_SHARE = 0.1;
const LEAST_LINES = 2;
/** A sketch that spreads a reading over more lines than this should have a program of its own. */
const MOST_SHAPES = 8;

interface Group {
  readonly shape: Shape;
  readonly lines: readonly Shape[];
}

export function guessShapes(lines: readonly string[]): Candidate | null {
  const groups = groupByShape(lines.map(shapeOf)).filter(
    (group) =>
      group.shape.parts.some(isSlot) &&
      group.lines.length >= Math.min(LEAST_LINES, lines.length) &&
      group.lines.length >= LEAST_SHARE * lines.length,
  );
  if (groups.length === 0) return null;
  const slots = groups.slice(0, MOST_SHAPES).flatMap((group, shape) => slotsOf(group, shape));
  const doubts: string[] = [];
  const settled = settleKeys(slots, doubts);
  const shapeOfKey = (key: string): number | undefined =>
    slots[settled.findIndex((one) => one.key === key)]?.shape;
  if (shapeOfKey('t') !== undefined && shapeOfKey('rh') !== undefined && shapeOfKey('t') !== shapeOfKey('rh'))
    doubts.push('Temperature and humidity come in separate lines; one line with both is safer.');
  return {
    kind: kindOf(lines, groups[0] as Group),
    settled,
    samples: slots.map(({ sample }) => sample),
    doubts,
    headers: [],
    patterns: (keys) =>
      groups.slice(0, MOST_SHAPES).map((group, shape) => {
        const own = [...slots.keys()].filter((i) => (slots[i] as Slot).shape === shape);
        const named = own.map((i) => (keys[i] === '-' ? null : (keys[i] as string)));
        return { take: { regex: shapeToRegex(group.shape, named, nothingsOf(group)) }, slots: own };
      }),
  };
}

/** The commonest first. */
function groupByShape(shapes: readonly Shape[]): readonly Group[] {
  const groups = new Map<string, Shape[]>();
  for (const shape of shapes) {
    const found = groups.get(shape.key);
    if (found) found.push(shape);
    else groups.set(shape.key, [shape]);
  }
  return [...groups.values()]
    .map((lines) => ({ shape: lines[0] as Shape, lines }))
    .sort((a, b) => b.lines.length - a.lines.length);
}

const slotParts = (shape: Shape): readonly Part[] => shape.parts.filter(isSlot);

function slotsOf(group: Group, shape: number): readonly (Slot & { readonly sample: string })[] {
  const { parts } = group.shape;
  const wordsAt = (i: number): string => (parts[i]?.kind === 'words' ? (parts[i] as Part).text : '');
  const namesFirst = /[A-Za-z]/.test(wordsAt(0));
  const places = [...parts.keys()].filter((i) => isSlot(parts[i] as Part));
  return places.map((at, slot) => {
    const cells = group.lines.map((line) => slotParts(line)[slot]?.text ?? '');
    const values = cells.map(Number).filter((value) => Number.isFinite(value));
    const before = slot === 0 ? wordsAt(at - 1) : partBetween(wordsAt(at - 1), namesFirst, false).label;
    const { unit } = partBetween(wordsAt(at + 1), namesFirst, at + 1 >= parts.length - 1);
    const label = cleanLabel(nearestClause(legible(before)));
    const quantity = quantityOf(label, unit, values, slot + 1);
    return {
      shape,
      label,
      values,
      sample: cells.findLast((cell) => Number.isFinite(Number(cell))) ?? cells[0] ?? '',
      quantity,
    };
  });
}

/** Not an earlier clause: "Heater on, temperature 23.4". */
function nearestClause(words: string): string {
  return words.split(/[,;|!]|\.\s/).findLast((clause) => /[A-Za-z]/.test(clause)) ?? '';
}

const cleanLabel = (label: string): string =>
  label
    .replaceAll(/["':{}[\]]/g, ' ')
    .replace(/[\s=>]+$/, '')
    .replaceAll(/\s+/g, ' ')
    .trim();

const nothingsOf = (group: Group): readonly string[] => [
  ...new Set(
    group.lines.flatMap((line) =>
      line.parts.filter(({ kind }) => kind === 'nothing').map(({ text }) => text),
    ),
  ),
];

function kindOf(lines: readonly string[], first: Group): LinesKind {
  const objects = lines.filter((line) => /^\s*\{.*\}\s*$/.test(line)).length;
  if (objects > lines.length / 2) return 'json';
  const { parts } = first.shape;
  const named = parts.filter(
    (part, i) => isSlot(part) && /[A-Za-z0-9_)\]]\s*[=:]\s*$/.test(parts[i - 1]?.text ?? ''),
  ).length;
  return named * 2 > parts.filter(isSlot).length ? 'named' : 'prose';
}
