import { Value } from 'typebox/value';
import { expect, test } from 'vitest';
import { type Health, HealthSchema, type Snapshot, SnapshotSchema } from '../../server/api/messages.ts';
import { inventedBench, serve } from './serve.ts';

test('the snapshot over HTTP is by its schema', async () => {
  const { ask, bench } = await serve();
  bench.tell(71.5);
  const snapshot = JSON.parse((await ask('/api/bench')).body) as Snapshot;
  expect(Value.Errors(SnapshotSchema, snapshot)).toEqual([]);
  expect(snapshot).toMatchObject({ sequence: 1, stations: [{ id: 'box', values: { t: 71.5 } }] });
});

test('health counts by station and reason, and says what a person should look at', async () => {
  const { ask, clock } = await serve();
  clock.advance(90_000);
  const health = JSON.parse((await ask('/api/health')).body) as Health;
  expect(Value.Errors(HealthSchema, health)).toEqual([]);
  expect(health).toMatchObject({
    status: 'well',
    troubles: [],
    version: '0.1.0-test',
    uptimeS: 90,
    stations: [{ id: 'box', counts: { 'fault.m.nack': 3 } }],
    // Both boots of the board together.
    sources: [{ id: 'usb', lines: 41, lost: 5, duplicates: 1, refused: { crc: 2, 'not-a-line': 1 } }],
    history: { kept: 1000, pending: 7 },
    live: { sockets: 0 },
  });
});

test('a full disk, a silent station and a lost port are each told in a sentence', async () => {
  const bench = inventedBench();
  const snapshot = (): Snapshot => {
    const well = bench.snapshot();
    return {
      ...well,
      historyTrouble: 'The disk is full.',
      stations: well.stations.map((station) => ({ ...station, quiet: true })),
      sources: well.sources.map((source) => ({ ...source, state: 'waiting', trouble: 'Unplugged.' })),
    };
  };
  const { ask } = await serve({ bench: { ...bench, snapshot } });
  const health = JSON.parse((await ask('/api/health')).body) as Health;
  expect(health).toMatchObject({
    status: 'trouble',
    troubles: ['The disk is full.', 'Source usb: Unplugged.', 'Station box is quiet.'],
  });
});
