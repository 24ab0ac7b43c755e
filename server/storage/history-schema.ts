/** Tables of the history file. Steps already released are never changed; a new one is added below. */
import type { StoreKind } from './opening.ts';

const FIRST = `
  CREATE TABLE series (
    id INTEGER PRIMARY KEY,
    station TEXT NOT NULL,
    key TEXT NOT NULL,
    -- Readings before it are in the tiers; at and after it only in raw. A multiple of five minutes.
    rolled_ms INTEGER NOT NULL,
    UNIQUE (station, key)
  ) STRICT;
  CREATE TABLE raw (
    series INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    value REAL NOT NULL,
    PRIMARY KEY (series, at_ms)
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE ten_seconds (
    series INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    low REAL NOT NULL,
    total REAL NOT NULL,
    high REAL NOT NULL,
    count INTEGER NOT NULL,
    PRIMARY KEY (series, at_ms)
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE five_minutes (
    series INTEGER NOT NULL,
    at_ms INTEGER NOT NULL,
    low REAL NOT NULL,
    total REAL NOT NULL,
    high REAL NOT NULL,
    count INTEGER NOT NULL,
    PRIMARY KEY (series, at_ms)
  ) STRICT, WITHOUT ROWID;
  -- Up to when retention has emptied a tier.
  CREATE TABLE emptied (tier TEXT PRIMARY KEY, at_ms INTEGER NOT NULL) STRICT, WITHOUT ROWID;
`;

export const HISTORY_KIND: StoreKind = {
  noun: 'history',
  migrations: [FIRST],
  synchronous: 'NORMAL',
  vitalTables: ['series', 'emptied', 'five_minutes'],
};
