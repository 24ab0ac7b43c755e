/**
 * The run's past in bounded memory: block means on the model's own time grid.
 *
 * A cell is a minute in the first half hour and for ten minutes after a lid, five minutes to four hours and for an hour after
 * a lid, ten after. Every reading moves the mean of exactly one cell, so every reading counts and none is kept.
 */

/** Stands in for "no reading in this cell": JSON has no NaN. */
export const ABSENT = -9999;
export const hasValue = (value: number): boolean => value > ABSENT + 1;

/** More cells than this and the oldest are paired: a week of holding must not slow the refit. */
export const MOST_CELLS = 360;
/** Cells of the warm-up and first lids keep their grain. */
const KEPT_CELLS = 70;

export interface Cells {
  /** Run time at the cell's end, s. */
  endS: number[];
  lengthS: number[];
  airC: number[];
  rhPercent: number[];
  /** 1 where a sensor clipped at zero: it says "at or below". */
  clipped: number[];
  massG: number[];
  cellC: number[];
  roomC: number[];
  /** Room vapour, reduced density g/m³. */
  roomGPerM3: number[];
  lidS: number[];
  /** Not 0 where the humidity is no witness: lid open or shut a while ago; 2 where the box's air is taken from it. */
  masked: number[];
}

export interface OpenCell {
  air: number;
  airCount: number;
  rh: number;
  rhCount: number;
  zeroCount: number;
  mass: number;
  massCount: number;
  cell: number;
  cellCount: number;
  roomC: number;
  roomG: number;
  roomCount: number;
  lidS: number;
}

export interface History {
  cells: Cells;
  open: OpenCell;
  /** Run time at which the open cell began. */
  openedS: number;
  /** Last humidity read, and the smallest step between two that was seen: the resolution it comes with, %RH. */
  lastRhPercent?: number;
  rhStepPercent?: number;
  /** Run time of the latest lid; before the run when there was none. */
  lidAtS: number;
  /** Minutes throughout: an unheated box is watched so, that a run may begin at any of them. */
  readonly minutesOnly: boolean;
}

const emptyOpen = (): OpenCell => ({
  air: 0,
  airCount: 0,
  rh: 0,
  rhCount: 0,
  zeroCount: 0,
  mass: 0,
  massCount: 0,
  cell: 0,
  cellCount: 0,
  roomC: 0,
  roomG: 0,
  roomCount: 0,
  lidS: 0,
});

const COLUMNS = [
  'endS',
  'lengthS',
  'airC',
  'rhPercent',
  'clipped',
  'massG',
  'cellC',
  'roomC',
  'roomGPerM3',
  'lidS',
  'masked',
] as const;

export function createHistory(minutesOnly = false): History {
  const cells = Object.fromEntries(COLUMNS.map((name) => [name, [] as number[]])) as unknown as Cells;
  return { cells, open: emptyOpen(), openedS: 0, lidAtS: -1e9, minutesOnly };
}

/** For this long after a lid the grid is fine, as the box and the outer turns come back; then less so. */
const MINUTES_AFTER_LID_S = 600;
const FINE_AFTER_LID_S = 3600;
/**
 * For this long after it the box's air is taken as it was measured: how long a lid stood open and how well it mixed is not known
 * closely. Not longer: what a spool gives off is a small difference of vapours, and a sensor's offset would pass for it.
 */
const TAKEN_AFTER_LID_S = 150;
/**
 * For this long after it the humidity is no witness. The outermost turns, blown dry or damp, take half an hour to come back in
 * ways that six shells do not follow: believed after two and a half minutes, one lid of forty seconds moved the answer by 12 %
 * (eight tuning runs with and without it; so, by 4 %).
 */
const MASK_AFTER_LID_S = 1800;
/** What a cell's humidity is good for: all, no witness, the box's air itself. */
const BELIEVED = 0;
const MASKED = 1;
export const TAKEN = 2;

/** Run time at which the cell that began at `fromS` ends. */
export function cellEndS(history: History, fromS: number): number {
  const sinceLidS = fromS - history.lidAtS;
  const minutes = history.minutesOnly || fromS < 1800 || sinceLidS < MINUTES_AFTER_LID_S;
  const length = minutes ? 60 : fromS < 14_400 || sinceLidS < FINE_AFTER_LID_S ? 300 : 600;
  return (Math.floor(fromS / length + 1e-9) + 1) * length;
}

/** Closes every cell that ends at or before `runS`. */
export function closeCellsUntil(history: History, runS: number): void {
  for (let end = cellEndS(history, history.openedS); end <= runS; end = cellEndS(history, history.openedS))
    closeCell(history, end);
}

/**
 * A lid seen or said at `atS`. What was read up to now belongs to the time before it: a long cell ends here, or its mean, and
 * the lid with it, would stand up to ten minutes too early.
 */
export function markLid(history: History, atS: number, openS: number): void {
  const longCell = cellEndS(history, history.openedS) - history.openedS > 60;
  if (longCell && atS - history.openedS >= 1) closeCell(history, atS);
  history.lidAtS = atS;
  history.open.lidS += openS;
}

function closeCell(history: History, endS: number): void {
  const { cells, open } = history;
  const mean = (sum: number, count: number): number => (count > 0 ? sum / count : ABSENT);
  cells.endS.push(endS);
  cells.lengthS.push(endS - history.openedS);
  cells.airC.push(mean(open.air, open.airCount));
  cells.rhPercent.push(mean(open.rh, open.rhCount));
  // A board that clips writes 0.00 when the truth is below: one such reading and the mean is only a bound.
  cells.clipped.push(open.zeroCount > 0 ? 1 : 0);
  cells.massG.push(mean(open.mass, open.massCount));
  cells.cellC.push(mean(open.cell, open.cellCount));
  cells.roomC.push(mean(open.roomC, open.roomCount));
  cells.roomGPerM3.push(mean(open.roomG, open.roomCount));
  cells.lidS.push(Math.min(open.lidS, endS - history.openedS));
  const sinceLidS = history.openedS - history.lidAtS;
  const taken = open.lidS > 0 || sinceLidS < TAKEN_AFTER_LID_S;
  cells.masked.push(taken ? TAKEN : sinceLidS < MASK_AFTER_LID_S ? MASKED : BELIEVED);
  history.open = emptyOpen();
  history.openedS = endS;
  if (cells.endS.length > MOST_CELLS) pairOldest(cells);
}

/** Joins neighbours in the older half, past the warm-up. */
function pairOldest(cells: Cells): void {
  const count = cells.endS.length;
  const kept = Math.min(KEPT_CELLS, count);
  const until = kept + 2 * Math.floor((count - kept) / 4);
  const joined = Object.fromEntries(
    COLUMNS.map((name) => [name, cells[name].slice(0, kept)]),
  ) as unknown as Cells;
  for (let i = kept; i < until; i += 2) joinPair(cells, i, joined);
  for (const name of COLUMNS) cells[name] = joined[name].concat(cells[name].slice(until));
}

function joinPair(cells: Cells, i: number, into: Cells): void {
  const first = cells.lengthS[i]!;
  const second = cells.lengthS[i + 1]!;
  for (const name of COLUMNS) {
    const a = cells[name][i]!;
    const b = cells[name][i + 1]!;
    if (name === 'endS') into.endS.push(b);
    else if (name === 'lengthS' || name === 'lidS') into[name].push(a + b);
    else if (name === 'clipped' || name === 'masked') into[name].push(Math.max(a, b));
    else if (hasValue(a) && hasValue(b)) into[name].push((a * first + b * second) / (first + second));
    else into[name].push(hasValue(a) ? a : b);
  }
}
