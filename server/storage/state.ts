/**
 * State: the small second file, for what people do and what must not be forgotten (spools, weigh-ins, jobs, thresholds,
 * notices told). Documents are JSON by kind and id; entries are an append-only diary. Each call is on the disk when it
 * returns: a power cut takes nothing that was acknowledged.
 */
import type { Clock } from '../clock.ts';
import { backupStore } from './backup.ts';
import { mayPass, StorageError } from './errors.ts';
import { NOTICE_TABLES } from './notice-tables.ts';
import { createNoticeStore, type NoticeStore } from './notices.ts';
import { openStore, type StoreKind } from './opening.ts';
import type { Database, OpenDatabase, Statement } from './sqlite.ts';

export type Json = null | boolean | number | string | readonly Json[] | { readonly [name: string]: Json };

export interface StateDocument {
  readonly id: string;
  readonly value: Json;
}

export interface StateEntry {
  /** Grows by one; the order in which they were entered, whatever the clock said. */
  readonly number: number;
  readonly atMs: number;
  readonly kind: string;
  readonly value: Json;
}

export interface EntryQuery {
  /** After this entry. */
  readonly after?: number;
  readonly kind?: string;
  readonly limit?: number;
}

/** Calls that write throw StorageError when the disk will not have it; nothing is then half written. */
export interface State {
  put(kind: string, id: string, value: Json): void;
  get(kind: string, id: string): Json | undefined;
  all(kind: string): StateDocument[];
  /** True if it was there. */
  remove(kind: string, id: string): boolean;
  /** Returns the entry's number. */
  enter(atMs: number, kind: string, value: Json): number;
  entries(query?: EntryQuery): StateEntry[];
  readonly notices: NoticeStore;
  /** Several writes as one: all or none. Not to be nested. */
  together<T>(work: () => T): T;
  backup(toPath: string): Promise<void>;
  close(): void;
}

export interface StateOptions {
  readonly open: OpenDatabase;
  readonly path: string;
  readonly clock: Clock;
  readonly onNote?: (sentence: string) => void;
}

const STATE_KIND: StoreKind = {
  noun: 'state',
  migrations: [
    `CREATE TABLE document (
       kind TEXT NOT NULL,
       id TEXT NOT NULL,
       json TEXT NOT NULL,
       PRIMARY KEY (kind, id)
     ) STRICT, WITHOUT ROWID;
     CREATE TABLE entry (
       number INTEGER PRIMARY KEY AUTOINCREMENT,
       at_ms INTEGER NOT NULL,
       kind TEXT NOT NULL,
       json TEXT NOT NULL
     ) STRICT;
     CREATE INDEX entry_by_kind ON entry (kind, number);`,
    NOTICE_TABLES,
  ],
  synchronous: 'FULL',
  vitalTables: ['document', 'entry'],
};

/** A run report with its curves is some 100 kB; anything larger is a mistake. */
const MAX_DOCUMENT_BYTES = 1_000_000;
/** One answer; the caller asks again after the last number. */
const MAX_ENTRIES = 10_000;

type Statements = Record<'put' | 'get' | 'all' | 'remove' | 'enter' | 'entries' | 'entriesOfKind', Statement>;

/** Throws StorageError `data-folder` or `newer-file`. On a full or read-only disk it opens, and writing is what throws. */
export function openState(options: StateOptions): State {
  let db: Database | null = null;
  let statements: Statements | null = null;
  let closed = false;

  /** The disk may have become writable since. */
  const ready = (): Statements => {
    if (closed) throw new StorageError('closed', 'The state file is closed');
    if (statements) return statements;
    const opened = openStore(options.open, options.path, STATE_KIND, options.clock.now().wallMs);
    if (opened.setAsideAs !== null)
      options.onNote?.(
        `The state file (spools, weigh-ins, jobs) was damaged. It was set aside as ${opened.setAsideAs} and a new one begun; a backup can be put in its place while lowdew is stopped`,
      );
    db = opened.db;
    statements = prepare(db);
    return statements;
  };

  const readOr = <T>(ask: (statements: Statements) => T, whenShut: T): T => {
    let open: Statements;
    try {
      open = ready();
    } catch (error) {
      if (mayPass(error)) return whenShut;
      throw error;
    }
    return ask(open);
  };

  readOr(() => null, null);

  return {
    put(kind, id, value) {
      ready().put.run(kind, id, toText(value));
    },
    get: (kind, id) =>
      readOr(({ get }) => {
        const row = get.get(kind, id);
        return row && fromText(row['json']);
      }, undefined),
    all: (kind) =>
      readOr(
        ({ all }) => all.all(kind).map((row) => ({ id: String(row['id']), value: fromText(row['json']) })),
        [],
      ),
    remove: (kind, id) => ready().remove.run(kind, id) > 0,
    enter: (atMs, kind, value) =>
      Number(ready().enter.get(Math.floor(atMs), kind, toText(value))?.['number']),
    entries: (query = {}) =>
      readOr((open) => {
        const limit = Math.min(MAX_ENTRIES, query.limit ?? MAX_ENTRIES);
        const after = query.after ?? 0;
        const rows =
          query.kind === undefined
            ? open.entries.all(after, limit)
            : open.entriesOfKind.all(query.kind, after, limit);
        return rows.map((row) => ({
          number: Number(row['number']),
          atMs: Number(row['at_ms']),
          kind: String(row['kind']),
          value: fromText(row['json']),
        }));
      }, []),
    notices: createNoticeStore(() => {
      ready();
      return db as Database;
    }),
    together(work) {
      ready();
      return (db as Database).inTransaction(work);
    },
    async backup(toPath) {
      ready();
      await backupStore(options.open, options.path, toPath);
    },
    close() {
      if (closed) return;
      closed = true;
      db?.close();
    },
  };
}

function prepare(db: Database): Statements {
  const columns = 'number, at_ms, kind, json';
  return {
    put: db.prepare(
      'INSERT INTO document (kind, id, json) VALUES (?1, ?2, ?3) ON CONFLICT DO UPDATE SET json = ?3',
    ),
    get: db.prepare('SELECT json FROM document WHERE kind = ? AND id = ?'),
    all: db.prepare('SELECT id, json FROM document WHERE kind = ? ORDER BY id'),
    remove: db.prepare('DELETE FROM document WHERE kind = ? AND id = ?'),
    enter: db.prepare('INSERT INTO entry (at_ms, kind, json) VALUES (?, ?, ?) RETURNING number'),
    entries: db.prepare(`SELECT ${columns} FROM entry WHERE number > ? ORDER BY number LIMIT ?`),
    entriesOfKind: db.prepare(
      `SELECT ${columns} FROM entry WHERE kind = ? AND number > ? ORDER BY number LIMIT ?`,
    ),
  };
}

function toText(value: Json): string {
  const text = JSON.stringify(value);
  if (Buffer.byteLength(text) > MAX_DOCUMENT_BYTES)
    throw new StorageError('store-failed', `A document of ${text.length} characters is too large to keep`);
  return text;
}

const fromText = (text: unknown): Json => JSON.parse(String(text)) as Json;
