/** An open history file with all that is prepared on it, and the one transaction that each batch is. */
import { createReader, type HistoryReader } from './history-read.ts';
import { HISTORY_KIND } from './history-schema.ts';
import {
  createWriter,
  type HistoryWriter,
  isRollDue,
  type PendingReading,
  type Series,
} from './history-write.ts';
import { openStore } from './opening.ts';
import { createRetention, type Retention } from './retention.ts';
import type { SeriesBook } from './series-book.ts';
import type { Database, OpenDatabase } from './sqlite.ts';

export interface HistoryFile {
  readonly db: Database;
  readonly writer: HistoryWriter;
  readonly retention: Retention;
  readonly reader: HistoryReader;
}

/** A slice of retention after each flush; more than a flood at 10 Hz over 36 series brings in the time between. */
const RETENTION_SLICE_ROWS = 4000;
/** Series rolled after each flush. */
const ROLL_SLICE_SERIES = 16;

export function openHistoryFile(
  open: OpenDatabase,
  path: string,
  nowMs: number,
  book: SeriesBook,
  pending: () => readonly PendingReading[],
): { file: HistoryFile; setAsideAs: string | null } {
  const { db, setAsideAs } = openStore(open, path, HISTORY_KIND, nowMs);
  return { file: attach(db, book, pending), setAsideAs };
}

/** Also used anew after a failed transaction: what memory believes of the file is then taken from the file again. */
export function attach(
  db: Database,
  book: SeriesBook,
  pending: () => readonly PendingReading[],
): HistoryFile {
  const writer = createWriter(db);
  const retention = createRetention(db);
  book.meet(writer.load());
  const { emptiedMs } = retention;
  return { db, writer, retention, reader: createReader(db, { emptiedMs, seriesOf: book.find, pending }) };
}

/** Keeps a batch and, when `tend` is set, rolls and drops a slice each; returns how many readings were there before. */
export function commitBatch(
  { db, writer, retention }: HistoryFile,
  batch: readonly PendingReading[],
  series: readonly Series[],
  nowMs: number,
  tend: boolean,
): number {
  const rollsDue = tend ? series.filter((one) => isRollDue(one, nowMs)) : [];
  const retentionDue = tend && retention.isDue(nowMs);
  if (batch.length === 0 && rollsDue.length === 0 && !retentionDue) return 0;
  return db.inTransaction(() => {
    const repeated = writer.keep(batch);
    for (const one of rollsDue.slice(0, ROLL_SLICE_SERIES)) writer.roll(one, nowMs);
    if (retentionDue) retention.dropOld(series, nowMs, RETENTION_SLICE_ROWS);
    return repeated;
  });
}
