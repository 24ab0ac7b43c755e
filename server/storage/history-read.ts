/** Answers questions of history from the tiers, the readings not yet rolled and those not yet written. */
import type { PendingReading, Series } from './history-write.ts';
import type { Database, Row, Statement } from './sqlite.ts';
import { type EmptiedMs, floorTo, MAX_BUCKETS, planRead, TIERS, type Tier, type TierName } from './tiers.ts';

export interface HistoryQuery {
  readonly station: string;
  readonly keys: readonly string[];
  /** The span is [fromMs, toMs). */
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

/** Columns in time order. `atMs` is a bucket's start; buckets without a reading are absent. */
export interface SeriesColumns {
  readonly atMs: number[];
  readonly min: number[];
  readonly mean: number[];
  readonly max: number[];
}

export interface HistoryAnswer {
  readonly station: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** 1: the readings themselves. */
  readonly bucketMs: number;
  readonly series: Record<string, SeriesColumns>;
}

interface Bucket {
  low: number;
  total: number;
  high: number;
  count: number;
}

/** What is read besides the file. */
export interface ReadContext {
  readonly emptiedMs: EmptiedMs;
  seriesOf(station: string, key: string): Series | undefined;
  pending(): readonly PendingReading[];
}

export interface HistoryReader {
  read(query: HistoryQuery): HistoryAnswer;
  /** The finest that is kept of each stretch of the span, page by page. */
  pages(query: Omit<HistoryQuery, 'buckets'>): Generator<HistoryAnswer>;
}

/** Null database: only what waits in memory. */
export function createReader(db: Database | null, context: ReadContext): HistoryReader {
  const statements = db && prepare(db);

  const collect = (
    series: Series | undefined,
    tier: Tier,
    fromMs: number,
    toMs: number,
    bucketMs: number,
  ): SeriesColumns => {
    const buckets = new Map<number, Bucket>();
    if (series && statements && series.id !== null) {
      const rolledMs = tier.name === 'raw' ? fromMs : series.rolledMs;
      const firstMs = floorTo(fromMs, tier.widthMs);
      if (tier.name !== 'raw' && firstMs < rolledMs)
        for (const row of statements.grouped[tier.name].all(
          bucketMs,
          series.id,
          firstMs,
          Math.min(toMs, rolledMs),
        ))
          join(buckets, row);
      const rawFromMs = Math.max(fromMs, rolledMs);
      if (rawFromMs < toMs)
        for (const row of statements.grouped.raw.all(bucketMs, series.id, rawFromMs, toMs))
          join(buckets, row);
    }
    if (series)
      for (const { series: owner, atMs, value } of context.pending())
        if (owner === series && atMs >= fromMs && atMs < toMs)
          joinBucket(buckets, floorTo(atMs, bucketMs), { low: value, total: value, high: value, count: 1 });
    return toColumns(buckets);
  };

  const hasAtMost = (series: Series, tier: Tier, fromMs: number, toMs: number, rows: number): boolean => {
    let found = 0;
    if (statements && series.id !== null) {
      const rolledMs = tier.name === 'raw' ? fromMs : series.rolledMs;
      if (tier.name !== 'raw') {
        const firstMs = floorTo(fromMs, tier.widthMs);
        found += countOf(statements.count[tier.name], series.id, firstMs, Math.min(toMs, rolledMs), rows + 1);
      }
      found += countOf(statements.count.raw, series.id, Math.max(fromMs, rolledMs), toMs, rows + 1);
    }
    for (const { series: owner, atMs } of context.pending())
      if (owner === series && atMs >= fromMs && atMs < toMs) found++;
    return found <= rows;
  };

  return {
    read(query) {
      const { station, keys, fromMs, toMs } = query;
      const buckets = Math.min(MAX_BUCKETS, Math.max(1, Math.floor(query.buckets)));
      const known = keys.flatMap((key) => context.seriesOf(station, key) ?? []);
      const { tier, bucketMs } = planRead(fromMs, toMs, buckets, context.emptiedMs, (candidate, rows) =>
        known.every((series) => hasAtMost(series, candidate, fromMs, toMs, rows)),
      );
      const series = Object.fromEntries(
        keys.map((key) => [key, collect(context.seriesOf(station, key), tier, fromMs, toMs, bucketMs)]),
      );
      return { station, fromMs, toMs, bucketMs, series };
    },
    *pages({ station, keys, fromMs, toMs }) {
      const known = keys.map((key) => [key, context.seriesOf(station, key)] as const);
      for (const stretch of stretches(fromMs, toMs, context.emptiedMs)) {
        for (let startMs = stretch.fromMs; startMs < stretch.toMs; ) {
          let endMs = stretch.toMs;
          for (const [, series] of known)
            if (statements && series?.id) {
              const row = statements.nth[stretch.tier.name].get(series.id, startMs, endMs, MAX_BUCKETS);
              if (row) endMs = Number(row['at_ms']);
            }
          const { tier } = stretch;
          const series = Object.fromEntries(
            known.map(([key, one]) => [key, collect(one, tier, startMs, endMs, tier.widthMs)]),
          );
          yield { station, fromMs: startMs, toMs: endMs, bucketMs: tier.widthMs, series };
          startMs = endMs;
        }
      }
    },
  };
}

/** Cuts a span where retention has cut the tiers. */
function stretches(
  fromMs: number,
  toMs: number,
  emptied: EmptiedMs,
): { tier: Tier; fromMs: number; toMs: number }[] {
  const tensFromMs = emptied.ten_seconds;
  const rawFromMs = Math.max(emptied.raw, tensFromMs);
  return [
    { tier: TIERS[2], fromMs, toMs: Math.min(toMs, tensFromMs) },
    { tier: TIERS[1], fromMs: Math.max(fromMs, tensFromMs), toMs: Math.min(toMs, rawFromMs) },
    { tier: TIERS[0], fromMs: Math.max(fromMs, rawFromMs), toMs },
  ].filter((stretch) => stretch.fromMs < stretch.toMs);
}

interface ReadStatements {
  readonly grouped: Record<TierName, Statement>;
  readonly count: Record<TierName, Statement>;
  readonly nth: Record<TierName, Statement>;
}

function prepare(db: Database): ReadStatements {
  const perTier = (sql: (tier: TierName, columns: string) => string): Record<TierName, Statement> => {
    const of = (tier: TierName): Statement =>
      db.prepare(
        sql(
          tier,
          tier === 'raw'
            ? 'min(value) AS low, sum(value) AS total, max(value) AS high, count(*) AS count'
            : 'min(low) AS low, sum(total) AS total, max(high) AS high, sum(count) AS count',
        ),
      );
    return { raw: of('raw'), ten_seconds: of('ten_seconds'), five_minutes: of('five_minutes') };
  };
  const where = 'WHERE series = ? AND at_ms >= ? AND at_ms < ?';
  return {
    // Numbers arrive as REAL; only whole-number division groups.
    grouped: perTier(
      (tier, columns) =>
        `SELECT at_ms / CAST(?1 AS INTEGER) * CAST(?1 AS INTEGER) AS bucket, ${columns} FROM ${tier}
           WHERE series = ?2 AND at_ms >= ?3 AND at_ms < ?4 GROUP BY bucket`,
    ),
    count: perTier((tier) => `SELECT count(*) AS n FROM (SELECT 1 FROM ${tier} ${where} LIMIT ?)`),
    nth: perTier((tier) => `SELECT at_ms FROM ${tier} ${where} ORDER BY at_ms LIMIT 1 OFFSET ?`),
  };
}

const countOf = (statement: Statement, id: number, fromMs: number, toMs: number, limit: number): number =>
  fromMs < toMs ? Number(statement.get(id, fromMs, toMs, limit)?.['n'] ?? 0) : 0;

function join(buckets: Map<number, Bucket>, row: Row): void {
  joinBucket(buckets, Number(row['bucket']), {
    low: Number(row['low']),
    total: Number(row['total']),
    high: Number(row['high']),
    count: Number(row['count']),
  });
}

function joinBucket(buckets: Map<number, Bucket>, atMs: number, more: Bucket): void {
  const bucket = buckets.get(atMs);
  if (!bucket) {
    buckets.set(atMs, more);
    return;
  }
  bucket.low = Math.min(bucket.low, more.low);
  bucket.total += more.total;
  bucket.high = Math.max(bucket.high, more.high);
  bucket.count += more.count;
}

function toColumns(buckets: Map<number, Bucket>): SeriesColumns {
  const columns: SeriesColumns = { atMs: [], min: [], mean: [], max: [] };
  for (const [atMs, bucket] of [...buckets].sort(([a], [b]) => a - b)) {
    columns.atMs.push(atMs);
    columns.min.push(bucket.low);
    // Three times 0.1, divided by three, is a little more than 0.1.
    columns.mean.push(Math.min(bucket.high, Math.max(bucket.low, bucket.total / bucket.count)));
    columns.max.push(bucket.high);
  }
  return columns;
}
