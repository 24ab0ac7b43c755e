/** Tables and statements of the notices on their way; part of the state file. */
import type { Database, Statement } from './sqlite.ts';

/** Not yet taken, and not given up. */
const OPEN = `state IN ('waiting', 'retry', 'fault')`;

export const NOTICE_TABLES = `
  CREATE TABLE notice (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    urgent INTEGER NOT NULL,
    json TEXT NOT NULL
  ) STRICT;
  CREATE TABLE delivery (
    receiver TEXT NOT NULL,
    notice INTEGER NOT NULL REFERENCES notice(number),
    state TEXT NOT NULL,
    tries INTEGER NOT NULL,
    due_ms INTEGER NOT NULL,
    alone INTEGER NOT NULL,
    tried_ms INTEGER,
    code TEXT,
    words TEXT,
    PRIMARY KEY (receiver, notice)
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX delivery_open ON delivery (receiver, notice) WHERE ${OPEN};
  CREATE INDEX delivery_by_notice ON delivery (notice);`;

export function prepareNotices(
  db: Database,
): Record<
  | 'addNotice'
  | 'addDelivery'
  | 'crowdOut'
  | 'tidySent'
  | 'tidyNotices'
  | 'waiting'
  | 'hold'
  | 'urgent'
  | 'nextFault'
  | 'judge'
  | 'releaseFaults'
  | 'releaseAll'
  | 'counts'
  | 'log'
  | 'strangers'
  | 'close',
  Statement
> {
  const joined = `SELECT number, json, state, tries, due_ms, alone, tried_ms, code, words
    FROM delivery JOIN notice ON notice.number = delivery.notice`;
  return {
    addNotice: db.prepare(
      'INSERT INTO notice (id, urgent, json) VALUES (?, ?, ?) ON CONFLICT DO NOTHING RETURNING number',
    ),
    addDelivery: db.prepare(
      `INSERT INTO delivery (receiver, notice, state, tries, due_ms, alone) VALUES (?, ?, 'waiting', 0, 0, 0)`,
    ),
    crowdOut: db.prepare(
      `UPDATE delivery SET state = 'crowded-out' WHERE receiver = ?1 AND ${OPEN} AND notice <= (
         SELECT notice FROM delivery WHERE receiver = ?1 AND ${OPEN} ORDER BY notice DESC LIMIT 1 OFFSET ?2)`,
    ),
    tidySent: db.prepare(
      `DELETE FROM delivery WHERE receiver = ?1 AND NOT ${OPEN} AND notice <= (
         SELECT notice FROM delivery WHERE receiver = ?1 AND NOT ${OPEN} ORDER BY notice DESC LIMIT 1 OFFSET ?2)`,
    ),
    tidyNotices: db.prepare(
      'DELETE FROM notice WHERE NOT EXISTS (SELECT 1 FROM delivery WHERE delivery.notice = notice.number)',
    ),
    waiting: db.prepare(
      `${joined} WHERE receiver = ?1 AND ${OPEN} AND (state <> 'fault' OR due_ms <= ?2) ORDER BY notice LIMIT ?3`,
    ),
    hold: db.prepare(
      `SELECT due_ms, code FROM delivery WHERE receiver = ? AND ${OPEN} AND state = 'retry'
       ORDER BY due_ms DESC LIMIT 1`,
    ),
    urgent: db.prepare(
      `SELECT 1 FROM delivery JOIN notice ON notice.number = delivery.notice
       WHERE receiver = ? AND ${OPEN} AND state = 'waiting' AND tries = 0 AND urgent = 1 LIMIT 1`,
    ),
    nextFault: db.prepare(
      `SELECT min(due_ms) AS due_ms FROM delivery WHERE receiver = ? AND ${OPEN} AND state = 'fault'`,
    ),
    judge: db.prepare(
      `UPDATE delivery SET state = ?, tries = ?, due_ms = ?, alone = ?, tried_ms = ?, code = ?, words = ?
       WHERE receiver = ? AND notice = ?`,
    ),
    releaseFaults: db.prepare(
      `UPDATE delivery SET due_ms = 0 WHERE receiver = ? AND ${OPEN} AND state = 'fault'`,
    ),
    releaseAll: db.prepare(`UPDATE delivery SET due_ms = 0 WHERE receiver = ? AND ${OPEN}`),
    counts: db.prepare(
      `SELECT sum(${OPEN}) AS waiting, sum(state = 'fault') AS faults,
         sum(state = 'crowded-out') AS crowded_out, max(CASE WHEN state = 'sent' THEN tried_ms END) AS last_sent
       FROM delivery WHERE receiver = ?`,
    ),
    log: db.prepare(`${joined} WHERE receiver = ? ORDER BY notice DESC LIMIT ?`),
    strangers: db.prepare(`SELECT DISTINCT receiver FROM delivery WHERE ${OPEN}`),
    close: db.prepare(
      `UPDATE delivery SET state = 'closed', words = 'Its receiver is no longer in the bench file.'
       WHERE receiver = ? AND ${OPEN}`,
    ),
  };
}
