/**
 * Writes captures: all lines received and all that a person entered, in files that change by size and age, the oldest
 * falling away. Batched like history, and with the same promise: adding never fails, a disk that cannot be written is
 * told as trouble.
 */
import { closeSync, ftruncateSync, mkdirSync, openSync, readdirSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { Cancel, Clock } from '../clock.ts';
import { utcText } from '../utc.ts';
import { formatCaptureRow, formatUserRow, type UserEntry } from './capture-format.ts';

export interface CaptureOptions {
  readonly folder: string;
  readonly clock: Clock;
  readonly maxFileBytes?: number;
  readonly maxFileAgeMs?: number;
  readonly maxFiles?: number;
  /** Told in a sentence when writing begins to fail, and null when it works again. */
  readonly onTrouble?: (sentence: string | null) => void;
}

export interface CaptureWriter {
  line(atMs: number, source: string, line: string): void;
  /** False when the entry is too large for a row, and so is not in the capture. */
  user(atMs: number, entry: UserEntry): boolean;
  flush(): 'kept' | 'in-trouble';
  counts(): { readonly rows: number; readonly lost: number; readonly pending: number };
  close(): void;
}

/** A day of three stations every two seconds is about 12 MB. */
const MAX_FILE_BYTES = 16 * 1024 * 1024;
const MAX_FILE_AGE_MS = 86_400_000;
/** A month of days; with the size above never more than half a gigabyte. */
const MAX_FILES = 30;
const FLUSH_EVERY_MS = 5000;
/** A flood is written sooner. */
const FLUSH_ROWS = 1000;
/** Held while the disk cannot be written: some 10 MB. */
const MAX_PENDING_ROWS = 50_000;
const GIVE_UP_ROWS = 2500;
/** Nothing else in the folder is ever removed. */
const NAME_PATTERN = /^capture-\d{8}T\d{9}Z(-\d+)?\.tsv$/;

interface OpenFile {
  readonly descriptor: number;
  bytes: number;
  readonly openedMs: number;
}

export function openCapture(options: CaptureOptions): CaptureWriter {
  const { folder, clock } = options;
  const maxFileBytes = options.maxFileBytes ?? MAX_FILE_BYTES;
  const maxFileAgeMs = options.maxFileAgeMs ?? MAX_FILE_AGE_MS;
  const maxFiles = options.maxFiles ?? MAX_FILES;
  let pending: string[] = [];
  let file: OpenFile | null = null;
  let trouble: string | null = null;
  let rows = 0;
  let lost = 0;

  const tell = (sentence: string | null): void => {
    if (trouble === sentence) return;
    trouble = sentence;
    options.onTrouble?.(sentence);
  };

  const closeFile = (): void => {
    if (file) closeSync(file.descriptor);
    file = null;
  };

  const fileFor = (bytes: number): OpenFile => {
    const nowMs = clock.now().monotonicMs;
    if (file && (file.bytes + bytes > maxFileBytes || nowMs - file.openedMs >= maxFileAgeMs)) closeFile();
    if (file) return file;
    mkdirSync(folder, { recursive: true });
    file = { descriptor: openNew(folder, clock.now().wallMs), bytes: 0, openedMs: nowMs };
    dropOldest(folder, maxFiles);
    return file;
  };

  const flush = (): 'kept' | 'in-trouble' => {
    let written = 0;
    try {
      while (written < pending.length) {
        const into = fileFor(Buffer.byteLength(pending[written] as string));
        const room = maxFileBytes - into.bytes;
        const chunk = takeWhileFits(pending, written, room);
        append(into, chunk.text);
        written += chunk.rows;
      }
      tell(null);
    } catch (error) {
      tell(
        `The capture in ${folder} cannot be written (${(error as Error).message}); lines are held in memory and written as soon as that is possible.`,
      );
    }
    rows += written;
    pending = pending.slice(written);
    return trouble === null ? 'kept' : 'in-trouble';
  };

  const add = (row: string): void => {
    pending.push(`${row}\n`);
    if (pending.length > MAX_PENDING_ROWS) {
      pending = pending.slice(GIVE_UP_ROWS);
      lost += GIVE_UP_ROWS;
    }
    if (pending.length >= FLUSH_ROWS && trouble === null) flush();
  };

  const stop: Cancel = clock.every(FLUSH_EVERY_MS, flush);

  return {
    line: (atMs, source, line) => add(formatCaptureRow(atMs, source, line)),
    user(atMs, entry) {
      const row = formatUserRow(atMs, entry);
      if (row !== null) add(row);
      return row !== null;
    },
    flush,
    counts: () => ({ rows, lost, pending: pending.length }),
    close() {
      stop();
      flush();
      closeFile();
    },
  };
}

/** Rows from `start` on that fit into `room` bytes, at least one. */
function takeWhileFits(
  pending: readonly string[],
  start: number,
  room: number,
): { text: string; rows: number } {
  let text = '';
  let bytes = 0;
  let end = start;
  for (; end < pending.length; end++) {
    const row = pending[end] as string;
    bytes += Buffer.byteLength(row);
    if (bytes > room && end > start) break;
    text += row;
  }
  return { text, rows: end - start };
}

/** All of it, or the file as it was: half a row would run into the next one. */
function append(file: OpenFile, text: string): void {
  const buffer = Buffer.from(text, 'utf8');
  try {
    for (let done = 0; done < buffer.length; ) done += writeSync(file.descriptor, buffer, done);
  } catch (error) {
    ftruncateSync(file.descriptor, file.bytes);
    throw error;
  }
  file.bytes += buffer.length;
}

function openNew(folder: string, nowMs: number): number {
  const stem = `capture-${utcText(nowMs).replace(/[-:.]/g, '')}`;
  for (let n = 1; ; n++) {
    try {
      // Appending, so that after a cut-back the next row stands at the end.
      return openSync(join(folder, n === 1 ? `${stem}.tsv` : `${stem}-${n}.tsv`), 'ax', 0o640);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
  }
}

/** Names sort by time. */
function dropOldest(folder: string, maxFiles: number): void {
  const captures = readdirSync(folder)
    .filter((name) => NAME_PATTERN.test(name))
    .sort();
  for (const name of captures.slice(0, Math.max(0, captures.length - maxFiles)))
    rmSync(join(folder, name), { force: true });
}
