/**
 * Empties the tiers of what is older than they keep, a small slice at a time, so that no purge ever holds up the live
 * view or needs room of its own. The file is not made smaller: freed pages are used again. Runs inside a transaction.
 */
import type { Series } from './history-write.ts';
import type { Database } from './sqlite.ts';
import { type EmptiedMs, floorTo, ROLL_MS, TIERS, type TierName } from './tiers.ts';

export interface Retention {
  readonly emptiedMs: EmptiedMs;
  isDue(nowMs: number): boolean;
  /** Deletes at most `rows`; returns how many it did. Less than `rows`: nothing is left to do for now. */
  dropOld(series: readonly Series[], nowMs: number, rows: number): number;
}

export function createRetention(db: Database): Retention {
  const emptiedMs: Record<TierName, number> = { raw: 0, ten_seconds: 0, five_minutes: 0 };
  for (const row of db.prepare('SELECT tier, at_ms FROM emptied').all())
    emptiedMs[row['tier'] as TierName] = Number(row['at_ms']);
  const note = db.prepare(
    'INSERT INTO emptied (tier, at_ms) VALUES (?1, ?2) ON CONFLICT DO UPDATE SET at_ms = max(at_ms, ?2)',
  );
  const passes = TIERS.filter((tier) => Number.isFinite(tier.keepMs)).map((tier) => ({
    tier,
    /** Done for all series up to here; a new pass begins when the limit has moved on by a step. */
    doneMs: 0,
    nextSeries: 0,
    drop: db.prepare(
      `DELETE FROM ${tier.name} WHERE series = ?1 AND at_ms < ?2 AND at_ms < coalesce(
         (SELECT at_ms FROM ${tier.name} WHERE series = ?1 ORDER BY at_ms LIMIT 1 OFFSET ?3), ?2)`,
    ),
  }));

  const limitOf = (pass: (typeof passes)[number], nowMs: number): number =>
    floorTo(nowMs - pass.tier.keepMs, ROLL_MS);

  return {
    emptiedMs,
    isDue: (nowMs) => passes.some((pass) => limitOf(pass, nowMs) > pass.doneMs),
    dropOld(series, nowMs, rows) {
      let dropped = 0;
      for (const pass of passes) {
        const limitMs = limitOf(pass, nowMs);
        if (limitMs <= pass.doneMs) continue;
        while (pass.nextSeries < series.length && dropped < rows) {
          const one = series[pass.nextSeries] as Series;
          const asked = rows - dropped;
          // What is not in the tiers yet is never dropped.
          const gone = one.id === null ? 0 : pass.drop.run(one.id, Math.min(limitMs, one.rolledMs), asked);
          if (gone > 0 && limitMs > emptiedMs[pass.tier.name]) {
            note.run(pass.tier.name, limitMs);
            emptiedMs[pass.tier.name] = limitMs;
          }
          dropped += gone;
          if (gone < asked) pass.nextSeries++;
        }
        if (pass.nextSeries < series.length) break;
        pass.doneMs = limitMs;
        pass.nextSeries = 0;
      }
      return dropped;
    },
  };
}
