import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { AlertRecord } from '../../server/records.ts';
import { type AlertHistoryOptions, openAlertHistory } from '../../server/storage/alert-history.ts';
import { open, ownFolder, START_MS } from './bench-folder.ts';

const record = (i: number, more: Partial<AlertRecord> = {}): AlertRecord => ({
  at: new Date(START_MS + 1000 * i).toISOString(),
  kind: 'alert',
  rule: 'station-quiet',
  station: 'box',
  state: 'active',
  priority: 'medium',
  headline: `number ${i}`,
  number: null,
  ...more,
});

function historyIn(folder: string, more: Partial<AlertHistoryOptions> = {}) {
  const history = openAlertHistory({
    open,
    path: join(folder, 'alerts.sqlite'),
    nowMs: () => START_MS,
    ...more,
  });
  onTestFinished(() => history.close());
  return history;
}

test('newest first, page by page, by kind, place, urgency and time; whole again after closing', () => {
  const folder = ownFolder();
  const first = historyIn(folder);
  const figure = { label: 'air', value: 61.2, low: null, high: null, unit: '°C' };
  first.add(Array.from({ length: 250 }, (_, i) => record(i)));
  first.add([
    record(250, { rule: 'ceiling-passed', station: 'rig', priority: 'high', number: figure, shelved: true }),
  ]);
  first.close();
  const history = historyIn(folder);
  const { events, more } = history.read({ limit: 100 });
  expect([events.length, more]).toEqual([100, true]);
  expect(events[0]).toMatchObject({ rule: 'ceiling-passed', figure, shelved: true, spool: null });
  const next = history.read({ limit: 100, before: events.at(-1)?.number ?? 0 });
  expect(next.events[0]?.headline).toBe('number 150');
  expect(history.read({ rule: 'ceiling-passed' })).toMatchObject({
    events: [{ station: 'rig' }],
    more: false,
  });
  expect(history.read({ station: 'box', priority: 'high' }).events).toEqual([]);
  const span = history.read({ fromMs: START_MS + 10_000, toMs: START_MS + 13_000 });
  expect(span.events.map(({ headline }) => headline)).toEqual(['number 12', 'number 11', 'number 10']);
  // One answer has a cap, whatever is asked for.
  expect(history.read({ limit: 10_000 }).events).toHaveLength(251);
});

test('never more than the cap and a slice', () => {
  const history = historyIn(ownFolder(), { mostEvents: 500 });
  for (let i = 0; i < 40; i++) history.add(Array.from({ length: 100 }, (_, j) => record(100 * i + j)));
  const oldest = history.read({ fromMs: 0, toMs: START_MS + 2_400_000, limit: 500 }).events;
  expect(oldest).toEqual([]);
  expect(history.read({ limit: 1 }).events[0]?.headline).toBe('number 3999');
});

test('a damaged file is set aside and said, never deleted', () => {
  const folder = ownFolder();
  writeFileSync(
    join(folder, 'alerts.sqlite'),
    'this is no database, and long enough to be looked at'.repeat(40),
  );
  const notes: string[] = [];
  const history = historyIn(folder, { onNote: (note) => notes.push(note) });
  expect(notes[0]).toContain('was set aside as');
  history.add([record(1)]);
  expect(history.read({}).events).toHaveLength(1);
});
