/**
 * A capture through the engine in virtual time: the row's timestamp is the clock, a tick falls on each whole second
 * between rows, and what comes out is what the live program would have shown.
 */
import type { Engine } from './engine.ts';
import { decodeSourceLine, type SourceLines } from './intake/source-lines.ts';
import type {
  AirRecord,
  AlertRecord,
  DryingRecord,
  JobRecord,
  ReadingRecord,
  SoakRecord,
  SummaryRecord,
  UserEntry,
} from './records.ts';

/** A row of a capture file, taken apart; the file's own format belongs to the storage room. */
export type CaptureRow = TimedRow | { readonly ok: false; readonly reason: string; readonly detail: string };
interface TimedRow {
  readonly ok: true;
  readonly atMs: number;
  readonly source: string;
  readonly line: string;
  readonly cut: boolean;
  /** What a person entered; null for a board's line. */
  readonly entry: UserEntry | null;
}

export type ReplayRecord =
  | AlertRecord
  | ReadingRecord
  | AirRecord
  | DryingRecord
  | SoakRecord
  | JobRecord
  | SummaryRecord;
export const RECORD_KINDS = ['reading', 'air', 'drying', 'soak', 'job', 'alert', 'summary'] as const;
export type RecordKind = (typeof RECORD_KINDS)[number];

export interface ReplayOptions {
  /** Air, drying and soak records at each multiple of this many seconds since the Unix epoch. */
  readonly everyS: number;
  readonly kinds: ReadonlySet<RecordKind>;
}

export interface Replay {
  row(row: CaptureRow): void;
  /** Virtual time of the latest row taken; null before the first. */
  nowMs(): number | null;
  end(): SummaryRecord;
}

/**
 * A row this far ahead of its neighbours on both sides has a damaged timestamp: taking it would press all rows after it
 * into one instant. A clock that was really set stays set, so its next row is not back where the last one was.
 */
const LEAP_MS = 600_000;
/** Silences longer than this are crossed in one step: nothing is claimed of a bench unheard for a month. */
const LONGEST_TICKED_S = 31 * 86_400;

export function createReplay(
  engine: Engine,
  sources: SourceLines,
  stationIds: readonly string[],
  options: ReplayOptions,
  emit: (record: ReplayRecord) => void,
): Replay {
  const refused: Record<string, number> = {};
  let rows = 0;
  let readings = 0;
  let clockStepped = 0;
  let second: number | null = null;
  let lastMs = 0;
  let held: TimedRow | null = null;

  const refuse = (reason: string): void => {
    refused[reason] = (refused[reason] ?? 0) + 1;
  };
  const records = (atMs: number): void => {
    if (options.kinds.has('air'))
      for (const id of stationIds) {
        const air = engine.airRecord(id, atMs);
        if (air) emit(air);
      }
    const at = { wallMs: atMs, monotonicMs: atMs };
    if (options.kinds.has('drying')) for (const drying of engine.dryingRecords(at)) emit(drying);
    if (options.kinds.has('soak')) for (const soak of engine.soakRecords(at)) emit(soak);
    if (options.kinds.has('job')) for (const job of engine.jobRecords(at)) emit(job);
  };
  const finishSecond = (s: number): void => {
    if (s % options.everyS === 0) records(s * 1000);
  };
  const tick = (s: number): void => {
    const at = { wallMs: s * 1000, monotonicMs: s * 1000 };
    engine.tick(at);
    if (!options.kinds.has('alert')) return;
    for (const record of engine.alerts.look(at)?.records ?? []) emit(record);
  };
  const moveTo = (atMs: number): void => {
    const target = Math.floor(atMs / 1000);
    if (second === null) {
      second = target;
      tick(target);
      return;
    }
    if (target - second > LONGEST_TICKED_S) {
      finishSecond(second);
      second = target - 1;
    }
    while (second < target) {
      finishSecond(second);
      second++;
      tick(second);
    }
  };
  const take = (row: TimedRow): void => {
    if (second !== null && row.atMs < lastMs) clockStepped++;
    const atMs = second === null ? row.atMs : Math.max(lastMs, row.atMs);
    moveTo(atMs);
    lastMs = atMs;
    const at = { wallMs: atMs, monotonicMs: atMs };
    if (row.entry !== null) {
      const entered = engine.enter(row.entry, at);
      if (!entered.ok) refuse(`entry-${entered.reason}`);
      return;
    }
    if (row.cut) {
      refuse('too-long');
      return;
    }
    const decoded = decodeSourceLine(sources, row.source, row.line, at);
    if (!decoded.ok) {
      refuse(decoded.reason);
      return;
    }
    for (const line of [decoded.line, ...decoded.others]) {
      const { reading } = engine.accept(row.source, line, decoded.checked, at);
      if (!reading) continue;
      readings++;
      if (options.kinds.has('reading')) emit(reading);
    }
  };
  /** Rows wait for their successor, which tells a leap in time from a damaged timestamp. */
  const release = (next: TimedRow | null): void => {
    if (!held) return;
    const ahead = second === null || held.atMs - lastMs > LEAP_MS;
    if (ahead && next && held.atMs - next.atMs > LEAP_MS) refuse('time-leap');
    else take(held);
    held = null;
  };

  return {
    row(row) {
      rows++;
      if (!row.ok) {
        refuse(row.reason);
        return;
      }
      release(row);
      held = row;
    },
    nowMs: () => (second === null ? null : lastMs),
    end() {
      release(null);
      if (second !== null) {
        finishSecond(second);
        if (lastMs !== second * 1000 || second % options.everyS !== 0) records(lastMs);
      }
      const summary: SummaryRecord = {
        kind: 'summary',
        rows,
        readings,
        refused,
        unknownStations: engine.unknownStations(),
        clockStepped,
        boards: engine.boardSummaries(),
        restarts: engine.restarts(),
        stations: engine.stationSummaries(),
      };
      if (options.kinds.has('summary')) emit(summary);
      return summary;
    },
  };
}
