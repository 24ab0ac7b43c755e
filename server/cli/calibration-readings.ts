/** What stations said in certain times of a capture, as they said it: calibrations start from the sensors' own words. */
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { isImplausible } from '../../firmware-protocol/keys.ts';
import type { LineReading } from '../../firmware-protocol/line.ts';
import type { BenchConfig } from '../config/bench.ts';
import type { Said } from '../intake/calibration/settled.ts';
import { createSourceLines, decodeSourceLine } from '../intake/source-lines.ts';
import type { CaptureRow } from '../replay.ts';
import { feedCapture } from './capture-rows.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';
import type { TimeSpan } from './time-span.ts';

/** Readings of one station within one span. */
export interface SpanReadings {
  of(key: string): readonly Said[];
  /** The load cell's newest temperature at each mass. */
  readonly scale: readonly { readonly atMs: number; readonly saidG: number; readonly cellC: number | null }[];
  /** Before the span's end, as far back as the capture goes; null: never above 50 °C. */
  readonly lastHotMs: number | null;
}

export interface CalibrationReadings {
  /** Null: the station said nothing within the span. */
  in(station: string, span: TimeSpan): SpanReadings | null;
}

/** Hot enough to shift a humidity sensor for days: makers' figures are for storage above 60 or 80 °C; judgement. */
const HOT_C = 50;
/** Three stations every two seconds for a month, thinned to what a calibration needs by its spans. */
const MOST_READINGS = 500_000;

interface Taken {
  readonly atMs: number;
  readonly station: string;
  readonly values: Readonly<Record<string, number>>;
}

/** A capture file, or a folder of them; says what is wrong and gives the exit code instead. */
export async function readForCalibration(
  path: string,
  bench: BenchConfig,
  spans: readonly TimeSpan[],
  terminal: Terminal,
): Promise<CalibrationReadings | ExitCode> {
  const sources = createSourceLines(bench.patterns);
  const longestMs = Math.max(0, ...spans.map((span) => (span.kind === 'last' ? span.ms : 0)));
  let taken: Taken[] = [];
  let endMs = Number.NEGATIVE_INFINITY;
  const hot = new Map<string, number[]>();
  const isWanted = (atMs: number): boolean =>
    atMs >= endMs - longestMs ||
    spans.some((span) => span.kind === 'between' && atMs >= span.fromMs && atMs <= span.toMs);
  const take = (atMs: number, { station, values: said }: LineReading): void => {
    const values = Object.fromEntries(
      Object.entries(said).filter(([key, value]) => !isImplausible(key, value)),
    );
    if ((values['t'] ?? 0) > HOT_C) noteHot(hot, station, atMs);
    if (isWanted(atMs)) taken.push({ atMs, station, values });
  };
  const row = (one: CaptureRow): void => {
    if (!one.ok || one.entry !== null || one.cut) return;
    const at = { wallMs: one.atMs, monotonicMs: one.atMs };
    const decoded = decodeSourceLine(sources, one.source, one.line, at);
    if (!decoded.ok || decoded.line.kind !== 'reading') return;
    endMs = Math.max(endMs, one.atMs);
    for (const line of [decoded.line, ...decoded.others]) take(one.atMs, line);
    if (taken.length > MOST_READINGS)
      taken = taken.filter(({ atMs }) => isWanted(atMs)).slice(-MOST_READINGS / 2);
  };
  const files = await filesOf(path);
  if (files.length === 0) {
    terminal.err(`There is no capture in ${path}.`);
    return EXIT.unreadableCapture;
  }
  for (const file of files) {
    const trouble = await feedCapture(file, { row }, terminal);
    if (trouble !== null) return trouble;
  }
  return {
    in(station, span) {
      const [fromMs, toMs] = span.kind === 'last' ? [endMs - span.ms, endMs + 1] : [span.fromMs, span.toMs];
      const own = taken.filter((one) => one.station === station && one.atMs >= fromMs && one.atMs < toMs);
      if (own.length === 0) return null;
      return {
        of: (key) =>
          own.flatMap(({ atMs, values }) => {
            const value = values[key];
            return value === undefined ? [] : [{ atMs, value }];
          }),
        scale: scaleOf(own),
        lastHotMs: hot.get(station)?.findLast((atMs) => atMs <= toMs) ?? null,
      };
    },
  };
}

/** Once an hour is enough to know when it was last hot. */
function noteHot(hot: Map<string, number[]>, station: string, atMs: number): void {
  const times = hot.get(station) ?? [];
  const last = times.at(-1);
  if (last === undefined || atMs - last >= 3_600_000) times.push(atMs);
  hot.set(station, times);
}

function scaleOf(own: readonly Taken[]): SpanReadings['scale'] {
  let cellC: number | null = null;
  return own.flatMap(({ atMs, values }) => {
    cellC = values['tm'] ?? cellC;
    return values['m'] === undefined ? [] : [{ atMs, saidG: values['m'], cellC }];
  });
}

/** Names of captures sort by time. A path that cannot be looked at is left to the reader to complain of. */
async function filesOf(path: string): Promise<readonly string[]> {
  const isFolder = await stat(path).then(
    (found) => found.isDirectory(),
    () => false,
  );
  if (!isFolder) return [path];
  const names = await readdir(path);
  return names
    .filter((name) => /\.(tsv|capture)$/.test(name))
    .sort()
    .map((name) => join(path, name));
}
