/**
 * Joins the socket, the history and the state. Messages are folded in as they come; the page is told at most once a
 * frame while it is looked at, and once every few seconds while it is hidden, for its title's sake.
 */
import { batch, effect } from '@preact/signals';
import type { HistoryAnswer } from '../server/api/messages.ts';
import { createBenchClock } from './bench-clock.ts';
import { type Bench, foldChange, fromSnapshot } from './bench-model.ts';
import type { BenchState } from './bench-state.ts';
import { createHistoryAsker, type HistoryWorld, MOST_BUCKETS } from './history.ts';
import { laneSeries } from './lane-series.ts';
import { type Live, type LiveWorld, startLive } from './live.ts';
import { FIRST_SPOOL_VIEW, FIRST_VIEW, rangeOf } from './ruler/view.ts';
import type { SeriesWindow } from './series-window.ts';
import { watchedKey } from './stations.ts';

export const SPARK_SPAN_MS = 2 * 3_600_000;
export const SPARK_BUCKETS = 66;
/** A wheel turns many times a second; history is asked when it rests. */
const SETTLE_MS = 150;

export interface FeedWorld extends LiveWorld, HistoryWorld {
  /** Calls before the next picture, or soon enough where the page is hidden. */
  nextFrame(call: () => void): void;
}

export interface Feed extends Pick<Live, 'wake' | 'stop'> {
  /** Once a second while the page is looked at: ages and *now* move on. */
  tick(): void;
}

export function startFeed(world: FeedWorld, state: BenchState): Feed {
  const clock = createBenchClock();
  let bench: Bench | null = null;
  let seriesChanged = false;
  let frameAsked = false;
  /** Start of what was missed and has not been filled in yet. */
  let missedFromMs: number | null = null;

  const publish = (): void => {
    frameAsked = false;
    batch(() => {
      state.bench.value = bench;
      if (seriesChanged) state.drawn.value++;
      // At first, and after a jump of the bench's time; from second to second, tick() does it.
      if (bench && Math.abs(bench.atMs - state.nowMs.value) > 1000 * bench.speed) tick();
    });
    seriesChanged = false;
  };
  const publishSoon = (): void => {
    if (frameAsked) return;
    frameAsked = true;
    world.nextFrame(publish);
  };
  const tick = (): void => {
    const nowMs = clock.at(world.nowMs());
    if (nowMs !== null) state.nowMs.value = nowMs;
  };
  const changed = (): void => {
    seriesChanged = true;
    publishSoon();
  };

  const say = (part: 'plate' | 'sparks' | 'hole') => {
    return (said: 'missing' | 'complete'): void => {
      if (said === 'complete' && part === 'hole') missedFromMs = null;
      missing[part] = said === 'missing';
      state.historyMissing.value = Object.values(missing).some(Boolean);
    };
  };
  const missing = { plate: false, sparks: false, hole: false };
  const askPlate = createHistoryAsker(world, say('plate'));
  const askSparks = createHistoryAsker(world, say('sparks'));
  const askHole = createHistoryAsker(world, say('hole'));
  const replaceIn = (window: SeriesWindow) => (answer: HistoryAnswer, keys: readonly string[]) => {
    window.replace(answer, keys);
    changed();
  };

  const bucketsOf = (widthPx: number): number =>
    // A bucket draws its smallest and its largest, so two pixels to each lose nothing; in steps of a hundred, so that
    // a window edge dragged by a pixel asks for nothing.
    Math.min(MOST_BUCKETS, Math.max(200, Math.ceil(widthPx / 200) * 100));

  let sparksOf = '';
  /** The series the sparklines need, asked for when the stations or what they measure have changed. */
  const wantSparks = (): void => {
    if (!bench) return;
    const ids = bench.stations.map((station) => ({ station: station.id, key: watchedKey(station) }));
    const name = ids.map((id) => `${id.station}/${id.key}`).join();
    if (name === sparksOf) return;
    sparksOf = name;
    state.sparkSeries.want(ids, SPARK_SPAN_MS / SPARK_BUCKETS);
    askSparks.ask(
      { ids, fromMs: bench.atMs - SPARK_SPAN_MS, toMs: bench.atMs, buckets: SPARK_BUCKETS },
      replaceIn(state.sparkSeries),
    );
  };

  const fillHole = (nowMs: number): void => {
    if (missedFromMs === null) return;
    const range = rangeOf(state.view.value, nowMs, state.aheadShare.value);
    const bucketMs = (range.toMs - range.fromMs) / bucketsOf(state.plateWidthPx.value);
    const fromMs = Math.max(missedFromMs - bucketMs, range.fromMs);
    const ids = laneSeries(state.cast.value, state.spool.value);
    askHole.ask({ ids, fromMs, toMs: nowMs, buckets: (nowMs - fromMs) / bucketMs }, (answer, keys) => {
      state.plateSeries.splice(answer, keys);
      changed();
    });
    // The sparklines are small: two hours of them are asked anew.
    sparksOf = '';
  };

  let cancelSettle = (): void => {};
  let askedOf = '';
  /** The series and span of the plate, asked for when either has changed and the hand has come to rest. */
  const wantPlate = (settleMs: number): void => {
    const ids = laneSeries(state.cast.value, state.spool.value);
    const view = state.view.value;
    const aheadShare = state.aheadShare.value;
    const widthPx = state.plateWidthPx.value;
    const buckets = bucketsOf(widthPx);
    const question = JSON.stringify([ids, view, aheadShare, buckets]);
    if (question === askedOf || widthPx === 0 || ids.length === 0) return;
    const first = askedOf === '';
    askedOf = question;
    cancelSettle();
    cancelSettle = world.after(first ? 0 : settleMs, () => {
      const nowMs = clock.at(world.nowMs()) ?? 0;
      const range = rangeOf(view, nowMs, aheadShare);
      state.plateSeries.want(ids, (range.toMs - range.fromMs) / buckets);
      const toMs = Math.min(range.toMs, nowMs);
      askPlate.ask({ ids, fromMs: range.fromMs, toMs, buckets }, replaceIn(state.plateSeries));
    });
  };
  const stopWanting = effect(() => wantPlate(SETTLE_MS));

  /** Another bench, or the same one with its time set back: nothing known before fits. */
  const forget = (): void => {
    state.plateSeries.want([], 1);
    state.sparkSeries.want([], 1);
    missedFromMs = null;
    askedOf = '';
    sparksOf = '';
  };

  const live = startLive(world, {
    snapshot(snapshot) {
      if (bench !== null && (snapshot.atMs < bench.atMs || snapshot.speed !== bench.speed)) forget();
      else if (bench !== null) missedFromMs ??= bench.atMs;
      bench = fromSnapshot(snapshot);
      clock.set(snapshot.atMs, world.nowMs(), snapshot.speed);
      batch(() => {
        state.connection.value = 'live';
        state.lostSinceMs.value = null;
        const first = state.bench.value === null;
        state.bench.value = bench;
        if (first && state.spool.value && state.view.value === FIRST_VIEW)
          state.view.value = FIRST_SPOOL_VIEW;
        tick();
      });
      fillHole(snapshot.atMs);
      wantSparks();
      wantPlate(SETTLE_MS);
      changed();
    },
    change(change) {
      if (!bench) return 'jump';
      const folded = foldChange(bench, change);
      if (folded.outcome === 'jump') {
        missedFromMs ??= bench.atMs;
        return 'jump';
      }
      if (folded.outcome === 'already-known') return 'taken';
      bench = folded.bench;
      clock.set(change.atMs, world.nowMs(), bench.speed);
      if (change.points) {
        const plate = state.plateSeries.takePoints(change.points);
        const sparks = state.sparkSeries.takePoints(change.points);
        seriesChanged ||= plate || sparks;
      }
      if (change.stations) wantSparks();
      publishSoon();
      return 'taken';
    },
    lost() {
      if (bench) missedFromMs ??= bench.atMs;
      batch(() => {
        state.connection.value = bench ? 'lost' : 'unanswered';
        state.lostSinceMs.value = bench?.atMs ?? null;
      });
    },
  });

  return {
    tick,
    wake() {
      tick();
      publish();
      live.wake();
    },
    stop() {
      stopWanting();
      cancelSettle();
      live.stop();
      for (const asker of [askPlate, askSparks, askHole]) asker.stop();
    },
  };
}
