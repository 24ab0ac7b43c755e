import { expect, test } from 'vitest';
import type { Snapshot } from '../../server/api/messages.ts';
import { isOnBench, liveState } from '../../server/cli/live-state.ts';
import { inventedBench, NOON_MS } from '../api/serve.ts';
import { dryingOf } from '../browser/invented-spool.ts';

const said = (snapshot: Snapshot): Map<string, Record<string, unknown>> =>
  new Map(liveState(snapshot).map(({ topic, payload }) => [topic, JSON.parse(payload)]));

test('each station, spool and chamber has its topic; times are RFC 3339, curves stay at home', () => {
  const bare = inventedBench().snapshot();
  const drying = dryingOf({ dryAtMs: { p05: NOON_MS, p50: NOON_MS + 60_000, p95: null } });
  const topics = said({
    ...bare,
    spools: [
      {
        id: 'gear',
        station: 'box',
        materialKey: 'pa6',
        materialName: 'PA6',
        netMassG: 940,
        takenG: 0,
        diameterMm: 1.75,
        reel: 'plastic',
        limitWtPercent: 0.2,
        limitKind: 'printing',
        drying,
      },
    ],
  });
  expect([...topics.keys()]).toEqual(['station/box/air', 'spool/gear/drying']);
  // 22 August 2026, noon UTC, by hand.
  expect(topics.get('station/box/air')).toEqual({
    mark: null,
    quiet: false,
    heard: '2026-08-22T12:00:00.000Z',
  });
  const spool = topics.get('spool/gear/drying');
  expect(spool).toMatchObject({
    station: 'box',
    material: 'pa6',
    state: 'drying',
    moistureWtPercent: drying.moistureWtPercent,
    readyOuterG: drying.readyOuterG,
    dryAt: { p05: '2026-08-22T12:00:00.000Z', p50: '2026-08-22T12:01:00.000Z', p95: null },
  });
  for (const key of Object.keys(spool ?? {})) expect(key).not.toMatch(/Ms$|forecast|posterior|profile/);
});

test('a topic is of the bench while its station or spool is, whatever is known of it', () => {
  const isHere = isOnBench({ ...inventedBench().snapshot(), spools: [] });
  expect(isHere('station/box/air')).toBe(true);
  expect(isHere('station/box/soak')).toBe(true);
  expect(isHere('station/shed/air')).toBe(false);
  expect(isHere('spool/box/drying')).toBe(false);
});

test('invented readings are marked so on every topic', () => {
  const topics = said({ ...inventedBench().snapshot(), simulated: { scenario: 'x', speed: 60 } });
  expect(topics.get('station/box/air')).toMatchObject({ mark: 'SIMULATED' });
});
