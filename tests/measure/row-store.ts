/** History against bare SQLite with the same batches, and a month at 1 Hz answered in 2,000 buckets. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { falseClock } from '../../server/clock.ts';
import { openHistory } from '../../server/storage/history.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { compare, type Measured, median } from './rounds.ts';

const BATCH = 2000;
const BATCHES = 10;
const T0 = Date.UTC(2026, 0, 1);

export async function measureStore(): Promise<readonly Measured[]> {
  const open = await loadDatabaseEngine();
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-measure-'));
  try {
    const clock = falseClock(T0);
    const history = openHistory({ open, path: join(folder, 'history.sqlite'), clock });
    const bare = open(join(folder, 'bare.sqlite'));
    bare.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL;');
    bare.exec(
      'CREATE TABLE raw (series INTEGER, at_ms INTEGER, value REAL, PRIMARY KEY (series, at_ms)) WITHOUT ROWID',
    );
    const insert = bare.prepare('INSERT INTO raw VALUES (?, ?, ?)');
    let ours = 0;
    let theirs = 0;
    const rows = await compare(
      () => {
        for (let b = 0; b < BATCHES; b++) {
          for (let i = 0; i < BATCH; i++, ours++)
            history.add({
              station: 'box',
              key: ['t', 'rh'][ours % 2] as string,
              atMs: T0 + ours * 500,
              value: ours % 97,
              flagged: false,
            });
          history.flush();
        }
        return BATCH * BATCHES;
      },
      () => {
        for (let b = 0; b < BATCHES; b++)
          bare.inTransaction(() => {
            for (let i = 0; i < BATCH; i++, theirs++) insert.run(theirs % 2, T0 + theirs * 500, theirs % 97);
          });
        return BATCH * BATCHES;
      },
      7,
    );
    history.close();
    bare.close();

    const monthClock = falseClock(T0);
    const month = openHistory({ open, path: join(folder, 'month.sqlite'), clock: monthClock });
    const seconds = 30 * 86_400;
    // Time passes with the readings, so that they are rolled up as they would be.
    for (let s = 0; s < seconds; s++) {
      month.add({
        station: 'box',
        key: 't',
        atMs: T0 + s * 1000,
        value: 60 + (s % 311) / 100,
        flagged: false,
      });
      if (s % BATCH === 0) monthClock.advance(BATCH * 1000);
    }
    month.flush();
    const times: number[] = [];
    for (let round = 0; round < 5; round++) {
      const startMs = performance.now();
      const answer = month.read({
        station: 'box',
        keys: ['t'],
        fromMs: T0,
        toMs: T0 + seconds * 1000,
        buckets: 2000,
      });
      times.push(performance.now() - startMs);
      if ((answer.series['t']?.atMs.length ?? 0) < 1000) throw new Error('the month is not there');
    }
    month.close();
    return [
      {
        name: 'history rows written',
        value: rows.ours,
        unit: 'rows/s',
        yardstick: 'bare SQLite, same batches',
        ratio: rows.ratio,
        aim: '≥ 0.6',
        met: rows.ratio >= 0.6,
      },
      {
        name: 'a month at 1 Hz in 2,000 buckets',
        value: median(times),
        unit: 'ms',
        yardstick: 'none',
        ratio: null,
        aim: '≤ 50 ms',
        met: median(times) <= 50,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
