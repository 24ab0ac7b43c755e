/**
 * The only file that knows which SQLite runs: Node's own where it exists whole (with online backup, so from 22.16 on),
 * else @photostructure/sqlite, which offers the same calls with a prebuilt binary. The rest of the room sees `Database`.
 */
import { type StorageCode, StorageError } from './errors.ts';

export type SqlValue = number | string | null;
export type Row = Readonly<Record<string, SqlValue>>;

export interface Statement {
  /** Rows changed. */
  run(...values: SqlValue[]): number;
  get(...values: SqlValue[]): Row | undefined;
  all(...values: SqlValue[]): Row[];
}

export interface Database {
  /** `node:sqlite` or `@photostructure/sqlite`, for the health page. */
  readonly engine: string;
  exec(sql: string): void;
  prepare(sql: string): Statement;
  /** All of it or none: rolled back when `work` throws. Not to be nested. */
  inTransaction<T>(work: () => T): T;
  /** A whole and consistent copy, made beside running work; other connections may write meanwhile. */
  backupTo(path: string): Promise<void>;
  /** Works the log into the file and removes it, so that the one file is all there is. */
  close(): void;
}

export type OpenDatabase = (path: string, access?: 'read-write' | 'read-only') => Database;

/** What both engines share, as far as it is used here. */
interface EngineStatement {
  run(...values: SqlValue[]): { changes: number | bigint };
  get(...values: SqlValue[]): unknown;
  all(...values: SqlValue[]): unknown[];
}
interface EngineDatabase {
  exec(sql: string): void;
  prepare(sql: string): EngineStatement;
  close(): void;
}
interface Engine {
  DatabaseSync: new (path: string, options: { readOnly: boolean; timeout: number }) => EngineDatabase;
  backup(source: EngineDatabase, path: string, options: { rate: number }): Promise<unknown>;
}

/** How long a second process (a backup, say) may hold the file before a write gives up and is tried later. */
const BUSY_TIMEOUT_MS = 2000;
/** All pages in one step: a backup in small steps starts anew at each write of another connection. */
const BACKUP_PAGES_PER_STEP = 2 ** 31 - 1;

/** Finds the engine once; the opener it returns works without waiting. */
export async function loadDatabaseEngine(): Promise<OpenDatabase> {
  const builtIn = builtInEngine();
  if (builtIn) return (path, access) => openWith(builtIn, 'node:sqlite', path, access);
  const name = '@photostructure/sqlite';
  try {
    const { DatabaseSync, backup } = await import('@photostructure/sqlite');
    const engine = { DatabaseSync, backup } as unknown as Engine;
    return (path, access) => openWith(engine, name, path, access);
  } catch (cause) {
    throw new StorageError(
      'store-failed',
      `${name} cannot be loaded: run "npm ci" again, or use Node 24`,
      cause,
    );
  }
}

function builtInEngine(): Engine | null {
  const emitWarning = process.emitWarning;
  try {
    // Loading it prints "experimental" to the terminal of everyone on Node 22 and 24; nobody there can act on that.
    process.emitWarning = () => {};
    const found = process.getBuiltinModule('node:sqlite') as Partial<Engine> | undefined;
    return found?.DatabaseSync && found.backup ? (found as Engine) : null;
  } finally {
    process.emitWarning = emitWarning;
  }
}

function openWith(engine: Engine, name: string, path: string, access = 'read-write'): Database {
  const db = told(
    () => new engine.DatabaseSync(path, { readOnly: access === 'read-only', timeout: BUSY_TIMEOUT_MS }),
  );
  return {
    engine: name,
    exec: (sql) => told(() => db.exec(sql)),
    prepare: (sql) => wrapStatement(told(() => db.prepare(sql))),
    inTransaction(work) {
      told(() => db.exec('BEGIN IMMEDIATE'));
      try {
        const result = work();
        told(() => db.exec('COMMIT'));
        return result;
      } catch (error) {
        try {
          db.exec('ROLLBACK');
        } catch {
          // A full disk has already rolled it back by itself.
        }
        throw error;
      }
    },
    async backupTo(to) {
      try {
        await engine.backup(db, to, { rate: BACKUP_PAGES_PER_STEP });
      } catch (error) {
        throw translate(error);
      }
    },
    close() {
      // The packaged engine lets a connection live on until its statements are collected as garbage, and its late end
      // would remove the log of whatever file bears the name by then. Without a log of its own it removes nothing.
      try {
        if (access === 'read-write') db.exec('PRAGMA journal_mode = DELETE');
      } catch {
        // Full, damaged or held by a backup: the log stays, and is worked in at the next opening.
      }
      told(() => db.close());
    },
  };
}

function wrapStatement(statement: EngineStatement): Statement {
  return {
    run: (...values) => told(() => Number(statement.run(...values).changes)),
    get: (...values) => told(() => statement.get(...values) as Row | undefined),
    all: (...values) => told(() => statement.all(...values) as Row[]),
  };
}

function told<T>(call: () => T): T {
  try {
    return call();
  } catch (error) {
    throw translate(error);
  }
}

/** Primary result codes of SQLite (https://sqlite.org/rescode.html); the higher bits only tell where it happened. */
const BY_RESULT_CODE: Readonly<Record<number, StorageCode>> = {
  5: 'busy',
  6: 'busy',
  8: 'read-only',
  10: 'io-failed',
  11: 'damaged',
  13: 'disk-full',
  14: 'data-folder',
  26: 'damaged',
};

function translate(error: unknown): StorageError {
  const detail = error instanceof Error ? error.message : String(error);
  const resultCode = (error as { errcode?: unknown } | null)?.errcode;
  const code = typeof resultCode === 'number' ? BY_RESULT_CODE[resultCode & 0xff] : undefined;
  return new StorageError(code ?? 'store-failed', `SQLite says: ${detail}`, error);
}
