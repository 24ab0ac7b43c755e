import { describe, expect, test } from 'vitest';
import type { Change, HistoryAnswer, Snapshot } from '../../server/api/messages.ts';
import { type FeedWorld, startFeed } from '../../web/bench-feed.ts';
import { createBenchState } from '../../web/bench-state.ts';
import { LONGEST_RETRY_MS } from '../../web/history.ts';
import { WATCH_MS } from '../../web/live.ts';
import { BOX, benchOf, NOW_MS, ROOM } from '../browser/invented-bench.ts';
import { falseWorld } from './false-world.ts';

const SETTLE = 200;
/** Answers are given in microtasks; a few turns let them through. */
const settled = async (): Promise<void> => {
  for (let turn = 0; turn < 10; turn++) await Promise.resolve();
};

function begin() {
  const world = falseWorld();
  const asked: URL[] = [];
  let reachable = true;
  let frames = 0;
  const answer = (url: URL): HistoryAnswer => {
    const [fromMs, toMs] = [Number(url.searchParams.get('fromMs')), Number(url.searchParams.get('toMs'))];
    const atMs: number[] = [];
    for (let at = Math.ceil(fromMs / 2000) * 2000; at < toMs; at += 2000) atMs.push(at);
    const ones = atMs.map(() => 1);
    const columns = { atMs, min: ones, mean: ones, max: ones };
    const keys = (url.searchParams.get('keys') ?? '').split(',');
    return {
      station: url.searchParams.get('station') ?? '',
      fromMs,
      toMs,
      bucketMs: 1,
      series: Object.fromEntries(keys.map((key) => [key, structuredClone(columns)])),
    };
  };
  const feedWorld: FeedWorld = {
    ...world,
    nextFrame: (call) => {
      frames++;
      world.after(16, call);
    },
    fetchJson: (path) => {
      const url = new URL(path, 'http://double');
      asked.push(url);
      return reachable ? Promise.resolve(answer(url)) : Promise.reject(new Error('unreachable'));
    },
  };
  const state = createBenchState();
  const feed = startFeed(feedWorld, state);
  state.view.value = { kind: 'following', spanMs: 600_000 };
  state.plateWidthPx.value = 1000;
  let sequence = 0;
  return {
    world,
    state,
    feed,
    asked,
    frames: () => frames,
    reach(now: boolean) {
      reachable = now;
    },
    snapshot(parts: Partial<Snapshot> = {}) {
      world
        .newest()
        .message(JSON.stringify({ type: 'snapshot', sequence, ...benchOf([BOX, ROOM]), ...parts }));
    },
    change(parts: Partial<Change>, skip = 0) {
      sequence += 1 + skip;
      world.newest().message(JSON.stringify({ type: 'change', sequence, atMs: NOW_MS, ...parts }));
    },
  };
}
const vapour = (atMs: number, value: number) => ({ station: 'box', key: 'vapour', atMs, value });

describe('the feed of the page', () => {
  test('asks for the history that the plate shows, once, and for the sparklines', async () => {
    const { world, state, snapshot, asked } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    const plate = asked.filter((url) => url.searchParams.get('keys')?.includes('vapour_low'));
    expect(plate.length).toBe(1);
    const query = plate[0]!.searchParams;
    expect(query.get('station')).toBe('box');
    // Ten minutes, of which at least a twelfth lies ahead.
    expect(NOW_MS - Number(query.get('fromMs'))).toBeGreaterThan(500_000);
    expect(NOW_MS - Number(query.get('fromMs'))).toBeLessThan(551_000);
    expect(Number(query.get('toMs'))).toBeCloseTo(NOW_MS, -3);
    expect(state.plateSeries.get('box', 'vapour')?.atMs.length).toBeGreaterThan(200);
    expect(asked.some((url) => NOW_MS - Number(url.searchParams.get('fromMs')) === 7_200_000)).toBe(true);
  });

  test('many turns of a wheel ask once, when it rests', async () => {
    const { world, state, snapshot, asked } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    const before = asked.length;
    for (let turn = 1; turn <= 20; turn++) {
      state.view.value = { kind: 'following', spanMs: 600_000 * (1 + turn / 10) };
      world.pass(20);
    }
    expect(asked.length).toBe(before);
    world.pass(SETTLE);
    const stations = new Set(asked.slice(before).map((url) => url.searchParams.get('station')));
    expect(asked.length - before).toBe(stations.size);
  });

  test('live points reach the series, and the page is told once a frame however many come', async () => {
    const { world, state, snapshot, change, frames } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    world.pass(100);
    const drawn = state.drawn.value;
    const framesBefore = frames();
    for (let n = 1; n <= 50; n++) change({ atMs: NOW_MS + n * 100, points: [vapour(NOW_MS + n * 100, n)] });
    expect(state.drawn.value).toBe(drawn);
    expect(frames()).toBe(framesBefore + 1);
    world.pass(16);
    expect(state.drawn.value).toBe(drawn + 1);
    expect(state.plateSeries.get('box', 'vapour')?.atMs.at(-1)).toBeGreaterThanOrEqual(NOW_MS + 4000);
  });

  test('after a lost connection exactly what was missed is fetched and put in its place', async () => {
    const { world, state, snapshot, asked } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    world.newest().closed();
    expect(state.connection.value).toBe('lost');
    expect(state.lostSinceMs.value).toBe(NOW_MS);
    const before = asked.length;
    world.pass(600);
    snapshot({ atMs: NOW_MS + 90_000 });
    world.pass(SETTLE);
    await settled();
    expect(state.connection.value).toBe('live');
    expect(state.lostSinceMs.value).toBeNull();
    const hole = asked.slice(before).filter((url) => url.searchParams.get('keys')?.includes('vapour_low'));
    expect(hole.length).toBe(1);
    const fromMs = Number(hole[0]!.searchParams.get('fromMs'));
    expect(fromMs).toBeLessThanOrEqual(NOW_MS);
    expect(fromMs).toBeGreaterThan(NOW_MS - 3000);
    const times = state.plateSeries.get('box', 'vapour')?.atMs ?? [];
    const widest = Math.max(...times.slice(1).map((at, index) => at - times[index]!));
    expect(widest).toBeLessThanOrEqual(2000);
    expect(times.at(-1)).toBeGreaterThan(NOW_MS + 85_000);
  });

  test('a hole is asked for again until it comes, and the page says so meanwhile', async () => {
    const { world, state, snapshot, reach } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    world.newest().closed();
    world.pass(600);
    reach(false);
    snapshot({ atMs: NOW_MS + 90_000 });
    world.pass(SETTLE);
    await settled();
    expect(state.historyMissing.value).toBe(true);
    reach(true);
    world.pass(LONGEST_RETRY_MS);
    await settled();
    expect(state.historyMissing.value).toBe(false);
    expect(state.plateSeries.get('box', 'vapour')?.atMs.at(-1)).toBeGreaterThan(NOW_MS + 85_000);
  });

  test('a second loss before the first hole was filled does not forget the first', async () => {
    const { world, snapshot, asked, reach } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    reach(false);
    world.newest().closed();
    world.pass(600);
    snapshot({ atMs: NOW_MS + 30_000 });
    await settled();
    world.newest().closed();
    world.pass(1100);
    reach(true);
    const before = asked.length;
    snapshot({ atMs: NOW_MS + 60_000 });
    await settled();
    const hole = asked.slice(before).find((url) => url.searchParams.get('keys')?.includes('vapour_low'));
    expect(Number(hole?.searchParams.get('fromMs'))).toBeLessThanOrEqual(NOW_MS);
  });

  test('a skipped number makes it ask anew, and fill in what the skipped message held', async () => {
    const { world, state, snapshot, change, asked } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    change({ atMs: NOW_MS + 1000 }, 3);
    expect(state.connection.value).toBe('live');
    world.pass(600);
    expect(world.sockets.length).toBe(2);
    const before = asked.length;
    snapshot({ atMs: NOW_MS + 2000 });
    expect(asked.slice(before).some((url) => url.searchParams.get('keys')?.includes('vapour_low'))).toBe(
      true,
    );
  });

  test('a bench whose time was set back starts a clean picture', async () => {
    const { world, state, snapshot } = begin();
    snapshot();
    world.pass(SETTLE);
    await settled();
    world.newest().closed();
    world.pass(600);
    const earlierMs = NOW_MS - 86_400_000;
    snapshot({ atMs: earlierMs });
    world.pass(SETTLE);
    await settled();
    expect(state.plateSeries.get('box', 'vapour')?.atMs.at(-1)).toBeLessThanOrEqual(earlierMs + 1000);
    expect(state.nowMs.value).toBeLessThan(earlierMs + 2000);
  });

  test('bench time runs on at the bench’s own speed between messages', () => {
    const { world, state, snapshot, feed } = begin();
    snapshot({ speed: 60 });
    world.pass(1000);
    feed.tick();
    expect(state.nowMs.value - NOW_MS).toBeCloseTo(60_000, -3);
    world.pass(WATCH_MS);
    expect(state.connection.value).toBe('lost');
  });
});
