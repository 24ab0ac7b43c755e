/**
 * History: readings and estimates, appended in batches and answered in buckets. Whatever the disk does, adding never
 * fails and never waits: what cannot be written is held in memory, told as trouble, and written once it can be.
 */
import { dirname } from 'node:path';
import type { Cancel, Clock } from '../clock.ts';
import type { Sample } from '../records.ts';
import { backupStore } from './backup.ts';
import { createCalm } from './calm.ts';
import { isDamage, mayPass, type StorageCode, StorageError } from './errors.ts';
import { attach, commitBatch, type HistoryFile, openHistoryFile } from './history-file.ts';
import { createReader, type HistoryAnswer, type HistoryQuery, type HistoryReader } from './history-read.ts';
import type { PendingReading } from './history-write.ts';
import { setAside } from './opening.ts';
import { createSeriesBook } from './series-book.ts';
import type { OpenDatabase } from './sqlite.ts';
import { type Trouble, tellTrouble } from './trouble.ts';

export interface HistoryOptions {
  readonly open: OpenDatabase;
  readonly path: string;
  readonly clock: Clock;
  /** Told when trouble begins, changes or ends (null). */
  readonly onTrouble?: (trouble: Trouble | null) => void;
  /** Told, in a sentence, what a person should know: a damaged file was set aside. */
  readonly onNote?: (sentence: string) => void;
}

export interface HistoryCounts {
  /** Null while no file is open. */
  readonly engine: string | null;
  readonly series: number;
  /** Waiting in memory. */
  readonly pending: number;
  readonly kept: number;
  /** Same series and millisecond as one kept before. */
  readonly repeated: number;
  /** Not kept: no finite number or time. */
  readonly refused: number;
  /** Not kept: more keys than a bench can have. */
  readonly crowdedOut: number;
  /** Lost to the cap while the disk could not be written. */
  readonly lost: number;
}

export type FlushOutcome = 'kept' | 'in-trouble';

export interface History {
  add(sample: Sample): void;
  /** Writes all that waits. After `kept`, all that was added before is on file. */
  flush(): FlushOutcome;
  read(query: HistoryQuery): HistoryAnswer;
  pages(query: Omit<HistoryQuery, 'buckets'>): Generator<HistoryAnswer>;
  trouble(): Trouble | null;
  counts(): HistoryCounts;
  backup(toPath: string): Promise<void>;
  close(): void;
}

/** One commit per some seconds, not per reading: a memory card wears by commits. */
const FLUSH_EVERY_MS = 5000;
/** A flood is written sooner. */
const FLUSH_ROWS = 2000;
/** Rows of one commit: some 20 ms, so that the live view is not held up while an hour's backlog is written. */
const MAX_ROWS_PER_COMMIT = 5000;
/** Held while the disk cannot be written: over an hour of six stations, some 6 MB. */
const MAX_PENDING = 100_000;
/** Given up at a time when too many are held; shifting one for each new reading would cost more than keeping it. */
const GIVE_UP_ROWS = 5000;
const MAX_RETRY_MS = 60_000;
const CHECKPOINT_EVERY_MS = 600_000;
/** Highest time a Date can hold (ECMA-262). */
const MAX_AT_MS = 8.64e15;

/** Flagged values are a series of their own: charted, never averaged in. */
export const seriesKey = (key: string, flagged: boolean): string => (flagged ? `${key}!` : key);

/** Throws StorageError `data-folder` or `newer-file`; a full disk or a read-only folder is trouble, not an error. */
export function openHistory(options: HistoryOptions): History {
  const { open, path, clock } = options;
  const book = createSeriesBook();
  const calm = createCalm(clock.now());
  const counts = { kept: 0, repeated: 0, refused: 0, crowdedOut: 0, lost: 0 };
  let pending: PendingReading[] = [];
  let file: HistoryFile | null = null;
  let trouble: Trouble | null = null;
  let retryMs = FLUSH_EVERY_MS;
  let nextTryMs = 0;
  let closed = false;

  const pendingNow = (): readonly PendingReading[] => pending;
  const memoryReader = createReader(null, {
    emptiedMs: { raw: 0, ten_seconds: 0, five_minutes: 0 },
    seriesOf: book.find,
    pending: pendingNow,
  });

  const tell = (code: StorageCode | null): void => {
    const was = trouble;
    const sinceMs = was && was.code === code ? was.sinceMs : clock.now().wallMs;
    trouble = code && tellTrouble(code, dirname(path), sinceMs, counts.lost, MAX_PENDING);
    if (was?.sentence !== trouble?.sentence) options.onTrouble?.(trouble);
  };

  const noteDamage = (setAsideAs: string): void =>
    options.onNote?.(`The history file was damaged. It was set aside as ${setAsideAs} and a new one begun`);

  const openedFile = (): HistoryFile => {
    if (file) return file;
    const opened = openHistoryFile(open, path, clock.now().wallMs, book, pendingNow);
    if (opened.setAsideAs !== null) noteDamage(opened.setAsideAs);
    file = opened.file;
    return file;
  };

  const letGo = (): void => {
    try {
      file?.db.close();
    } catch {
      // What could not be written may not be closed either, for the same reason.
    }
    file = null;
  };

  /** Old history stays readable on a full disk; a damaged file is set aside as on opening. */
  const onFailure = (error: unknown): void => {
    if (!(error instanceof StorageError)) throw error;
    try {
      if (file && mayPass(error)) file = attach(file.db, book, pendingNow);
      else letGo();
    } catch {
      letGo();
    }
    if (isDamage(error)) noteDamage(setAside(path, clock.now().wallMs));
    tell(error.code);
  };

  const tryCommit = (): FlushOutcome => {
    const now = clock.now();
    try {
      const batch = pending.length > MAX_ROWS_PER_COMMIT ? pending.slice(0, MAX_ROWS_PER_COMMIT) : pending;
      const repeated = commitBatch(openedFile(), batch, book.all, now.wallMs, calm.isCalm(now));
      counts.repeated += repeated;
      counts.kept += batch.length - repeated;
      pending = pending.slice(batch.length);
      retryMs = FLUSH_EVERY_MS;
      if (trouble) tell(null);
      return 'kept';
    } catch (error) {
      onFailure(error);
      nextTryMs = now.monotonicMs + retryMs;
      retryMs = Math.min(MAX_RETRY_MS, retryMs * 2);
      return 'in-trouble';
    }
  };

  const flush = (): FlushOutcome => {
    do if (tryCommit() === 'in-trouble') return 'in-trouble';
    while (pending.length > 0);
    return 'kept';
  };

  const reading = <T>(ask: (reader: HistoryReader) => T): T => {
    if (closed) throw new StorageError('closed', 'The history is closed');
    if (file === null) return ask(memoryReader);
    try {
      return ask(file.reader);
    } catch (error) {
      if (!isDamage(error)) throw error;
      onFailure(error);
      return ask(memoryReader);
    }
  };

  try {
    openedFile();
  } catch (error) {
    if (!mayPass(error)) throw error;
    onFailure(error);
  }
  const timers: readonly Cancel[] = [
    clock.every(FLUSH_EVERY_MS, () => {
      if (!trouble || clock.now().monotonicMs >= nextTryMs) tryCommit();
    }),
    clock.every(CHECKPOINT_EVERY_MS, () => {
      try {
        file?.db.exec('PRAGMA wal_checkpoint(TRUNCATE)');
      } catch (error) {
        onFailure(error);
      }
    }),
  ];

  return {
    add(sample) {
      if (closed) throw new StorageError('closed', 'The history is closed');
      const { atMs, value } = sample;
      if (!Number.isFinite(value) || !(atMs >= 0 && atMs <= MAX_AT_MS)) {
        counts.refused++;
        return;
      }
      const series = book.findOrBegin(sample.station, seriesKey(sample.key, sample.flagged));
      if (!series) {
        counts.crowdedOut++;
        return;
      }
      pending.push({ series, atMs: Math.floor(atMs), value });
      if (pending.length > MAX_PENDING) {
        pending = pending.slice(GIVE_UP_ROWS);
        counts.lost += GIVE_UP_ROWS;
        if (trouble) tell(trouble.code);
      }
      if (pending.length >= FLUSH_ROWS && !trouble) tryCommit();
    },
    flush,
    read: (query) => reading((reader) => reader.read(query)),
    *pages(query) {
      yield* reading((reader) => reader.pages(query));
    },
    trouble: () => trouble,
    counts: () => ({
      engine: file?.db.engine ?? null,
      series: book.all.length,
      pending: pending.length,
      ...counts,
    }),
    async backup(toPath) {
      flush();
      await backupStore(open, path, toPath);
    },
    close() {
      if (closed) return;
      for (const cancel of timers) cancel();
      flush();
      letGo();
      closed = true;
    },
  };
}
