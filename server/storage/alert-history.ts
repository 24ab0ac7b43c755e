/**
 * What became of alarms and news, in a small file of its own: rows are few (a bad day has some hundred), and a damaged
 * history of readings must not take them along. Capped by rows; the oldest go first, a slice at a time.
 */
import type { AlertRecord, NoticeNumber } from '../records.ts';
import { mayPass, StorageError } from './errors.ts';
import { openStore, type StoreKind } from './opening.ts';
import type { Database, OpenDatabase, Row, Statement } from './sqlite.ts';

const ALERTS_KIND: StoreKind = {
  noun: 'alarm history',
  migrations: [
    `CREATE TABLE event (
       number INTEGER PRIMARY KEY AUTOINCREMENT,
       at_ms INTEGER NOT NULL,
       rule TEXT NOT NULL,
       station TEXT,
       spool TEXT,
       job TEXT,
       state TEXT NOT NULL,
       shelved INTEGER NOT NULL,
       priority TEXT NOT NULL,
       headline TEXT NOT NULL,
       figure TEXT
     ) STRICT;
     CREATE INDEX event_by_rule ON event (rule, number);
     CREATE INDEX event_by_station ON event (station, number);`,
  ],
  synchronous: 'NORMAL',
  vitalTables: ['event'],
};

/** Some 20 MB, and years of an ordinary bench. */
export const MOST_EVENTS = 100_000;
/** Dropped at once when there are too many. */
const SLICE = 1000;
const USUAL_LIMIT = 100;
const MOST_LIMIT = 500;

export interface AlertEventRow {
  readonly number: number;
  readonly atMs: number;
  readonly rule: string;
  readonly station: string | null;
  readonly spool: string | null;
  readonly job: string | null;
  readonly state: AlertRecord['state'];
  readonly shelved: boolean;
  readonly priority: AlertRecord['priority'];
  readonly headline: string;
  readonly figure: NoticeNumber | null;
}

export interface AlertEventQuery {
  readonly fromMs?: number;
  readonly toMs?: number;
  readonly rule?: string;
  readonly station?: string;
  readonly priority?: string;
  /** Older than this row. */
  readonly before?: number;
  readonly limit?: number;
}

export interface AlertHistory {
  /** Throws StorageError when the disk will not have it. */
  add(records: readonly AlertRecord[]): void;
  /** Newest first. */
  read(query: AlertEventQuery): { readonly events: readonly AlertEventRow[]; readonly more: boolean };
  close(): void;
}

export interface AlertHistoryOptions {
  readonly open: OpenDatabase;
  readonly path: string;
  readonly nowMs: () => number;
  readonly mostEvents?: number;
  readonly onNote?: (sentence: string) => void;
}

/** On a full or read-only disk it opens, and writing is what throws. */
export function openAlertHistory(options: AlertHistoryOptions): AlertHistory {
  const most = options.mostEvents ?? MOST_EVENTS;
  let db: Database | null = null;
  let insert: Statement | null = null;
  let closed = false;

  const ready = (): Database => {
    if (closed) throw new StorageError('closed', 'The alarm history is closed');
    if (db) return db;
    const opened = openStore(options.open, options.path, ALERTS_KIND, options.nowMs());
    if (opened.setAsideAs !== null)
      options.onNote?.(
        `The alarm history was damaged. It was set aside as ${opened.setAsideAs} and a new one begun`,
      );
    db = opened.db;
    insert = db.prepare(
      'INSERT INTO event (at_ms, rule, station, spool, job, state, shelved, priority, headline, figure) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)',
    );
    return db;
  };

  try {
    ready();
  } catch (error) {
    if (!mayPass(error)) throw error;
  }

  return {
    add(records) {
      if (records.length === 0) return;
      const file = ready();
      file.inTransaction(() => {
        for (const record of records)
          (insert as Statement).run(
            Date.parse(record.at),
            record.rule,
            record.station,
            record.spool ?? null,
            record.job ?? null,
            record.state,
            record.shelved ? 1 : 0,
            record.priority,
            record.headline,
            record.number === null ? null : JSON.stringify(record.number),
          );
        const ends = file.prepare('SELECT MIN(number) AS first, MAX(number) AS last FROM event').get();
        const first = Number(ends?.['first'] ?? 0);
        if (Number(ends?.['last'] ?? 0) - first >= most + SLICE)
          file.prepare('DELETE FROM event WHERE number < ?').run(first + SLICE);
      });
    },
    read(query) {
      let file: Database;
      try {
        file = ready();
      } catch (error) {
        if (mayPass(error)) return { events: [], more: false };
        throw error;
      }
      const limit = Math.min(MOST_LIMIT, query.limit ?? USUAL_LIMIT);
      const wheres: [string, number | string][] = [];
      if (query.fromMs !== undefined) wheres.push(['at_ms >= ?', query.fromMs]);
      if (query.toMs !== undefined) wheres.push(['at_ms < ?', query.toMs]);
      if (query.rule !== undefined) wheres.push(['rule = ?', query.rule]);
      if (query.station !== undefined) wheres.push(['station = ?', query.station]);
      if (query.priority !== undefined) wheres.push(['priority = ?', query.priority]);
      if (query.before !== undefined) wheres.push(['number < ?', query.before]);
      const where = wheres.length === 0 ? '' : `WHERE ${wheres.map(([sql]) => sql).join(' AND ')}`;
      const rows = file
        .prepare(`SELECT * FROM event ${where} ORDER BY number DESC LIMIT ?`)
        .all(...wheres.map(([, value]) => value), limit + 1);
      return { events: rows.slice(0, limit).map(toEvent), more: rows.length > limit };
    },
    close() {
      if (closed) return;
      closed = true;
      db?.close();
    },
  };
}

function toEvent(row: Row): AlertEventRow {
  const text = (name: string): string | null => (row[name] === null ? null : String(row[name]));
  const figure = text('figure');
  return {
    number: Number(row['number']),
    atMs: Number(row['at_ms']),
    rule: String(row['rule']),
    station: text('station'),
    spool: text('spool'),
    job: text('job'),
    state: String(row['state']) as AlertRecord['state'],
    shelved: Number(row['shelved']) === 1,
    priority: String(row['priority']) as AlertRecord['priority'],
    headline: String(row['headline']),
    figure: figure === null ? null : (JSON.parse(figure) as NoticeNumber),
  };
}
