/**
 * What somebody's lines are: LD1, SenML, or a sketch's own, and if so which of its numbers is what. Pure: lines in, a
 * proposal out, tried against those lines by the same code that will read them.
 */
import { decodeLine } from '../../../firmware-protocol/decode.ts';
import { isImplausible } from '../../../firmware-protocol/keys.ts';
import { matchPattern } from '../pattern.ts';
import { looksLikeSenml, readSenml } from '../senml.ts';
import type { LinesKind, Take } from './candidate.ts';
import { guessColumns } from './guess-columns.ts';
import { guessShapes } from './guess-shapes.ts';

export interface ColumnGuess {
  /** Which number of the lines it is, from 1, over all patterns. */
  readonly place: number;
  /** As a `[[pattern]]` has it; "-" is left out. */
  readonly key: string;
  /** What stood there last. */
  readonly sample: string;
  readonly why: string;
  readonly sure: boolean;
}

export interface PatternGuess {
  readonly take: Take;
  readonly columns: readonly ColumnGuess[];
}

export interface LinesGuess {
  readonly kind: LinesKind;
  /** Empty where none is needed (LD1, SenML) or none was found. */
  readonly patterns: readonly PatternGuess[];
  /** Stations that the lines name themselves. */
  readonly stations: readonly string[];
  /** Lines that are not blank, and how many of them the proposal takes in. */
  readonly lines: number;
  readonly taken: number;
  readonly confidence: 'sure' | 'likely' | 'none';
  /** What a person should look at, a sentence each. */
  readonly doubts: readonly string[];
  readonly refusedExample: { readonly line: string; readonly why: string } | null;
}

/** Some lines of start-up text among the readings are usual. */
const USUAL_SHARE = 0.6;
const DECIMAL_COMMAS = 'Its numbers have decimal commas; let the sketch print points.';
/** A comma between digits only, and something else that parts the numbers; plain columns of integers are none. */
const hasDecimalCommas = (line: string): boolean =>
  /\d,\d/.test(line) &&
  !/\d\.\d|,(?!\d)|(?<!\d),/.test(line) &&
  /[A-Za-z;\t%°\u00b0]|\d,\d+ /.test(line.trim());

/** More would say nothing new, and a pasted file is not to hold the program up. */
const MOST_LINES = 500;

/**
 * `told`: keys that a person gives in place of the guessed ones, in the order of the numbers; missing ones are left out.
 * Lines are latin1, without endings; the first may be the rest of one.
 */
export function guessLines(all: readonly string[], told: readonly string[] | null = null): LinesGuess {
  const lines = all.filter((line) => line.trim() !== '').slice(-MOST_LINES);
  const ready = guessReady(lines);
  if (ready) return ready;
  const commas = lines.filter(hasDecimalCommas).length;
  if (commas > lines.length / 2) return unknown(lines, DECIMAL_COMMAS);
  const candidate = guessColumns(lines) ?? guessShapes(lines);
  if (!candidate) return unknown(lines, 'It holds no number that stands alone.');
  const { settled, samples } = candidate;
  const keys = told ? settled.map((_, i) => told[i] ?? '-') : settled.map(({ key }) => key);
  const columns = settled.map(
    ({ why, ground }, i): ColumnGuess => ({
      place: i + 1,
      key: keys[i] as string,
      sample: samples[i] ?? '',
      why: told ? 'as told' : why,
      sure: told !== null || ground !== 'place',
    }),
  );
  const patterns = candidate
    .patterns(keys)
    .map(({ take, slots }) => ({ take, columns: slots.map((i) => columns[i] as ColumnGuess) }))
    .filter((pattern) => pattern.columns.some(({ key }) => key !== '-'));
  const doubts = told
    ? candidate.settled.flatMap((_, i) => doubtTold(keys[i] as string, samples[i]))
    : [...candidate.doubts];
  for (const [key, name] of [
    ['t', 'temperature'],
    ['rh', 'humidity'],
  ] as const)
    if (!keys.includes(key)) doubts.push(`No ${name} was recognised; without it lowdew can say little.`);
  const readings = lines.filter((line) => !candidate.headers.includes(line));
  const { taken, refusedExample } = tryOut(readings, patterns);
  if (taken < USUAL_SHARE * readings.length)
    doubts.push(`Only ${taken} of ${readings.length} lines can be read this way.`);
  const sure = columns.every(({ key, sure }) => sure || key === '-') && doubts.length === 0;
  return {
    kind: candidate.kind,
    patterns,
    stations: [],
    lines: readings.length,
    taken,
    confidence: patterns.length === 0 ? 'none' : sure ? 'sure' : 'likely',
    doubts,
    refusedExample,
  };
}

/** The same for lines as they were heard: the first may be the rest of one, or the only one with the columns' names. */
export function guessHeard(lines: readonly string[], told: readonly string[] | null = null): LinesGuess {
  const whole = guessLines(lines, told);
  if (lines.length < 3 || whole.lines < lines.length) return whole;
  const rest = guessLines(lines.slice(1), told);
  return rest.confidence === 'none' ? whole : rest;
}

const doubtTold = (key: string, sample: string | undefined): string[] =>
  isImplausible(key, Number(sample))
    ? [`${sample} cannot be ${key}: such values are shown flagged and are not used.`]
    : [];

/** Lines that need no pattern. */
function guessReady(lines: readonly string[]): LinesGuess | null {
  const stations = new Set<string>();
  let [ld1, senml] = [0, 0];
  let refusedExample: LinesGuess['refusedExample'] = null;
  for (const line of lines) {
    const decoded = decodeLine(line);
    if (decoded.ok) {
      ld1++;
      if (decoded.line.kind === 'reading') stations.add(decoded.line.station);
      continue;
    }
    const read = looksLikeSenml(line) ? readSenml(line) : decoded;
    if (read.ok) {
      senml++;
      stations.add(read.station);
    } else refusedExample ??= { line, why: read.detail };
  }
  const taken = Math.max(ld1, senml);
  if (taken === 0) return null;
  const doubts =
    stations.size === 0
      ? ['The board names itself but has sent no reading yet; listen longer with --seconds.']
      : [];
  return {
    kind: ld1 >= senml ? 'ld1' : 'senml',
    patterns: [],
    stations: [...stations],
    lines: lines.length,
    taken: ld1 + senml,
    confidence: stations.size === 0 ? 'likely' : 'sure',
    doubts,
    refusedExample,
  };
}

function tryOut(
  lines: readonly string[],
  patterns: readonly PatternGuess[],
): Pick<LinesGuess, 'taken' | 'refusedExample'> {
  let taken = 0;
  let refusedExample: LinesGuess['refusedExample'] = null;
  const configs = patterns.map(({ take }) => ({ source: '', station: '', take }));
  for (const line of lines) {
    const matches = configs.map((config) => matchPattern(config, line));
    if (matches.some(({ ok }) => ok)) taken++;
    else {
      const refusal = matches.find((match) => !match.ok);
      refusedExample ??= { line, why: refusal && !refusal.ok ? refusal.detail : 'It holds no value.' };
    }
  }
  return { taken, refusedExample };
}

const unknown = (lines: readonly string[], why: string): LinesGuess => ({
  kind: 'unknown',
  patterns: [],
  stations: [],
  lines: lines.length,
  taken: 0,
  confidence: 'none',
  doubts: [],
  refusedExample: lines[0] === undefined ? null : { line: lines[0], why },
});
