/**
 * Opens a store: makes its folder, looks whether the file is whole, sets a damaged one aside, brings the tables up to
 * date. Shared by history and state, which differ only in their tables and in how soon a commit must reach the disk.
 */
import { accessSync, constants, existsSync, mkdirSync, renameSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { utcText } from '../utc.ts';
import { isDamage, StorageError } from './errors.ts';
import type { Database, OpenDatabase } from './sqlite.ts';

export interface StoreKind {
  /** As it is called in sentences: "history". */
  readonly noun: string;
  /** Each step brings the tables from one user_version to the next; never changed once released, only added to. */
  readonly migrations: readonly string[];
  /** NORMAL may lose the last commits in a power cut, FULL none; neither loses any when only the process dies. */
  readonly synchronous: 'NORMAL' | 'FULL';
  /** Tables still looked at when the file is too large to be read whole at each start. */
  readonly vitalTables: readonly string[];
}

export interface OpenedStore {
  readonly db: Database;
  /** Where a damaged file now lies; null when nothing was wrong. */
  readonly setAsideAs: string | null;
}

/** A quick check reads the whole file: about 20 MB/s from a memory card, so some 3 s at most. */
const QUICK_CHECK_MAX_BYTES = 64 * 1024 * 1024;
/** A write-ahead log that once grew (a long backup held it) is cut back to this. */
const JOURNAL_LIMIT_BYTES = 8 * 1024 * 1024;
/** Pages of 4 kB in the log before it is worked into the file: 4 MB, so that a hot page reaches the card once. */
const CHECKPOINT_PAGES = 1000;

/** Throws StorageError; a damaged file is no error but is set aside, with its date in the name. */
export function openStore(open: OpenDatabase, path: string, kind: StoreKind, nowMs: number): OpenedStore {
  prepareFolder(dirname(path), kind);
  try {
    return { db: openWhole(open, path, kind), setAsideAs: null };
  } catch (error) {
    if (!isDamage(error)) throw inWords(error, path, kind);
  }
  const setAsideAs = setAside(path, nowMs);
  return { db: openWhole(open, path, kind), setAsideAs };
}

/** Renames the file and its log, so that a person or a repair tool may still have it. */
export function setAside(path: string, nowMs: number): string {
  const stamp = utcText(nowMs).replace(/[-:]|\.\d{3}/g, '');
  let target = `${path}.damaged-${stamp}`;
  for (let n = 2; existsSync(target); n++) target = `${path}.damaged-${stamp}-${n}`;
  for (const suffix of ['', '-wal', '-shm'])
    if (existsSync(path + suffix)) renameSync(path + suffix, target + suffix);
  return target;
}

function prepareFolder(folder: string, kind: StoreKind): void {
  try {
    mkdirSync(folder, { recursive: true });
    accessSync(folder, constants.R_OK | constants.X_OK);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'ENOSPC')
      throw new StorageError('disk-full', `The disk is full: ${folder} cannot be made`, cause);
    throw new StorageError(
      'data-folder',
      `The data folder ${folder} cannot be used (${(cause as Error).message}). Make it readable and writable for the user that runs lowdew, or name another as data_dir under [server] in the bench file`,
      cause,
    );
  }
  try {
    accessSync(folder, constants.W_OK);
  } catch (cause) {
    throw new StorageError(
      'read-only',
      `The data folder ${folder} cannot be written: no ${kind.noun} is kept`,
      cause,
    );
  }
}

function openWhole(open: OpenDatabase, path: string, kind: StoreKind): Database {
  const fileBytes = existsSync(path) ? statSync(path).size : 0;
  const db = open(path);
  try {
    // Looked at before anything is written, so that a damaged file is set aside as it was found.
    const version = knownVersion(db, kind, path);
    if (version > 0) lookOver(db, kind, fileBytes);
    db.exec(
      `PRAGMA journal_mode = WAL; PRAGMA synchronous = ${kind.synchronous}; PRAGMA temp_store = MEMORY;
       PRAGMA journal_size_limit = ${JOURNAL_LIMIT_BYTES}; PRAGMA wal_autocheckpoint = ${CHECKPOINT_PAGES}`,
    );
    migrate(db, kind, version);
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

/** 0: new, nothing in it yet. */
function knownVersion(db: Database, kind: StoreKind, path: string): number {
  const version = Number(db.prepare('PRAGMA user_version').get()?.['user_version'] ?? 0);
  if (version > kind.migrations.length)
    throw new StorageError(
      'newer-file',
      `${path} was written by a later version of lowdew (file version ${version}, this one knows ${kind.migrations.length}). Update lowdew, or name another data_dir under [server] in the bench file`,
    );
  return version;
}

function migrate(db: Database, kind: StoreKind, version: number): void {
  for (let step = version; step < kind.migrations.length; step++)
    db.inTransaction(() => {
      db.exec(kind.migrations[step] as string);
      db.exec(`PRAGMA user_version = ${step + 1}`);
    });
}

function lookOver(db: Database, kind: StoreKind, fileBytes: number): void {
  const checks =
    fileBytes <= QUICK_CHECK_MAX_BYTES
      ? ['PRAGMA quick_check(1)']
      : kind.vitalTables.map((table) => `PRAGMA quick_check('${table}')`);
  for (const check of checks) {
    const found = db.prepare(check).get()?.['quick_check'];
    if (found !== 'ok') throw new StorageError('damaged', `The ${kind.noun} file is damaged: ${found}`);
  }
}

/** SQLite alone says only "unable to open database file". */
function inWords(error: unknown, path: string, kind: StoreKind): unknown {
  if (!(error instanceof StorageError) || error.code !== 'data-folder') return error;
  return new StorageError(
    'data-folder',
    `The ${kind.noun} file ${path} cannot be opened. Make it and its folder readable and writable for the user that runs lowdew, or name another data_dir under [server] in the bench file`,
    error,
  );
}
