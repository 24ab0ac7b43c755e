/** Puts readings into the history file and works them into the tiers. Every function here runs inside a transaction. */
import type { Database } from './sqlite.ts';
import { floorTo, ROLL_MS, TIERS } from './tiers.ts';

/** One line of a chart: a key of a station. Known to the file once `id` is set. */
export interface Series {
  readonly station: string;
  readonly key: string;
  id: number | null;
  /** As in the file: readings before it are in the tiers. */
  rolledMs: number;
  /** Time of the newest reading kept. */
  newestMs: number;
}

export interface PendingReading {
  readonly series: Series;
  readonly atMs: number;
  readonly value: number;
}

export interface HistoryWriter {
  /** All series in the file. */
  load(): Series[];
  /** Keeps the readings; returns how many were there already (same series, same millisecond). */
  keep(readings: readonly PendingReading[]): number;
  /** Works a series' readings into the tiers, up to the last whole five minutes. */
  roll(series: Series, nowMs: number): void;
}

/**
 * Up to the last whole five minutes of the wall clock, not of the newest reading: one reading stamped years ahead would
 * else make every later one a latecomer.
 */
const rollTarget = (nowMs: number): number => floorTo(nowMs, ROLL_MS);

export const isRollDue = (series: Series, nowMs: number): boolean =>
  series.id !== null && series.newestMs >= series.rolledMs && rollTarget(nowMs) > series.rolledMs;

export function createWriter(db: Database): HistoryWriter {
  const all = db.prepare(
    `SELECT id, station, key, rolled_ms,
       coalesce((SELECT max(at_ms) FROM raw WHERE series = id), -1) AS newest_ms FROM series`,
  );
  const find = db.prepare('SELECT id, rolled_ms FROM series WHERE station = ? AND key = ?');
  const begin = db.prepare(
    'INSERT INTO series (station, key, rolled_ms) VALUES (?, ?, ?) RETURNING id, rolled_ms',
  );
  const insert = db.prepare('INSERT INTO raw (series, at_ms, value) VALUES (?, ?, ?) ON CONFLICT DO NOTHING');
  const mark = db.prepare('UPDATE series SET rolled_ms = ? WHERE id = ?');
  const [, tenSeconds, fiveMinutes] = TIERS;
  const addLate = [tenSeconds, fiveMinutes].map((tier) => ({
    widthMs: tier.widthMs,
    statement: db.prepare(
      `INSERT INTO ${tier.name} (series, at_ms, low, total, high, count) VALUES (?1, ?2, ?3, ?3, ?3, 1)
         ON CONFLICT (series, at_ms) DO UPDATE SET low = min(low, ?3), total = total + ?3, high = max(high, ?3),
           count = count + 1`,
    ),
  }));
  // Replacing makes it harmless to roll a stretch twice.
  const rollTens = db.prepare(
    `INSERT OR REPLACE INTO ten_seconds (series, at_ms, low, total, high, count)
       SELECT series, at_ms / 10000 * 10000 AS bucket, min(value), sum(value), max(value), count(*)
       FROM raw WHERE series = ? AND at_ms >= ? AND at_ms < ? GROUP BY bucket`,
  );
  const rollFives = db.prepare(
    `INSERT OR REPLACE INTO five_minutes (series, at_ms, low, total, high, count)
       SELECT series, at_ms / 300000 * 300000 AS bucket, min(low), sum(total), max(high), sum(count)
       FROM ten_seconds WHERE series = ? AND at_ms >= ? AND at_ms < ? GROUP BY bucket`,
  );

  const idOf = (series: Series, atMs: number): number => {
    if (series.id !== null) return series.id;
    const row =
      find.get(series.station, series.key) ?? begin.get(series.station, series.key, floorTo(atMs, ROLL_MS));
    series.rolledMs = Number(row?.['rolled_ms']);
    series.id = Number(row?.['id']);
    return series.id;
  };

  return {
    load: () =>
      all.all().map((row) => ({
        station: String(row['station']),
        key: String(row['key']),
        id: Number(row['id']),
        rolledMs: Number(row['rolled_ms']),
        newestMs: Number(row['newest_ms']),
      })),
    keep(readings) {
      let repeated = 0;
      for (const { series, atMs, value } of readings) {
        const id = idOf(series, atMs);
        if (insert.run(id, atMs, value) === 0) {
          repeated++;
          continue;
        }
        if (atMs > series.newestMs) series.newestMs = atMs;
        // After the wall clock was set back, readings fall into stretches already rolled.
        if (atMs < series.rolledMs)
          for (const tier of addLate) tier.statement.run(id, floorTo(atMs, tier.widthMs), value);
      }
      return repeated;
    },
    roll(series, nowMs) {
      const toMs = rollTarget(nowMs);
      rollTens.run(series.id, series.rolledMs, toMs);
      rollFives.run(series.id, series.rolledMs, toMs);
      mark.run(toMs, series.id);
      series.rolledMs = toMs;
    },
  };
}
