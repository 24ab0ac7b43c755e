/** Alarms through the whole path on a false clock: lines in, notices out. */
import { describe, expect, test } from 'vitest';
import type { SavedAlertDesk } from '../../server/desks/alert-desk.ts';
import { type FalseBenchStart, openFalseBench } from './false-bench.ts';

type FalseBench = ReturnType<typeof openFalseBench>;

const RIG =
  '[[station]]\nid="rig"\nrole="electronics"\nceiling_c=60\n[[station]]\nid="room"\nrole="room"\n[[source]]\nid="usb"\nport="/dev/ttyUSB0"\n';
const MINUTE_MS = 60_000;
const EVERY_MS = 10_000;

/** Both stations of one board speak for a while. */
function speak(bench: FalseBench, minutes: number, rigC: (minute: number) => number): void {
  for (let ms = 0; ms < minutes * MINUTE_MS; ms += EVERY_MS) {
    bench.say('rig', { t: rigC(ms / MINUTE_MS), rh: 8 });
    bench.say('room', { t: 22, rh: 45 });
    bench.clock.advance(EVERY_MS);
  }
}
const told = (bench: FalseBench): string[] => bench.noticed.map(({ reason, rule }) => `${reason} ${rule}`);
const rest = (bench: FalseBench): string[] => told(bench).filter((one) => !one.endsWith('ceiling-near'));

/** Stops the program and starts it again `downMs` later, as the state file lets it. */
function restart(bench: FalseBench, downMs: number): FalseBench {
  const { engine, clock } = bench;
  const at = clock.now();
  const saved = JSON.parse(JSON.stringify({ engine: engine.save(), alerts: engine.alerts.save(at) })) as {
    engine: NonNullable<FalseBenchStart['saved']>;
    alerts: SavedAlertDesk;
  };
  return openFalseBench(RIG, {
    saved: saved.engine,
    alerting: { saved: saved.alerts },
    startMs: at.wallMs + downMs,
  });
}

test('flapping: one alarm, repeated in its time, over once; and the next one is told again', () => {
  const bench = openFalseBench(RIG);
  speak(bench, 5, () => 50);
  // Three minutes over the ceiling, two well under it, for an hour.
  speak(bench, 60, (minute) => (minute % 5 < 3 ? 61 : 57));
  expect(rest(bench)).toEqual([
    'first ceiling-passed',
    'repeat ceiling-passed',
    'repeat ceiling-passed',
    'repeat ceiling-passed',
  ]);
  const [first, ...repeats] = bench.noticed.filter(({ rule }) => rule === 'ceiling-passed');
  for (const [i, repeat] of repeats.entries())
    expect(Date.parse(repeat.at) - Date.parse(first?.at ?? '')).toBeGreaterThanOrEqual(
      (i + 1) * 15 * MINUTE_MS,
    );
  speak(bench, 10, () => 50);
  expect(rest(bench).slice(4)).toEqual(['returned ceiling-passed']);
  speak(bench, 3, () => 62);
  expect(rest(bench).slice(5)).toEqual(['first ceiling-passed']);
  expect(new Set(bench.noticed.map(({ id }) => id)).size).toBe(bench.noticed.length);
});

describe('a restart', () => {
  test('in which nothing changed says nothing, standing or acknowledged', () => {
    const before = openFalseBench(RIG);
    speak(before, 8, () => 61);
    expect(rest(before)).toEqual(['first ceiling-passed']);
    const after = restart(before, 20 * MINUTE_MS);
    // What was not yet heard is no reason to clear anything.
    after.clock.advance(5000);
    expect(after.engine.alerts.views(after.clock.now())[0]).toMatchObject({
      rule: 'ceiling-passed',
      state: 'active',
    });
    speak(after, 4, () => 61);
    expect(rest(after)).toEqual([]);
    after.engine.alerts.acknowledge('ceiling-passed:rig', after.clock.now());
    const again = restart(after, MINUTE_MS);
    speak(again, 40, () => 61);
    expect(rest(again)).toEqual([]);
  });

  test('after which the trouble is over tells so once, and not for the time spent switched off', () => {
    const before = openFalseBench(RIG);
    speak(before, 8, () => 61);
    const after = restart(before, 6 * 60 * MINUTE_MS);
    speak(after, 4, () => 40);
    expect(rest(after)).toEqual([]);
    speak(after, 3, () => 40);
    expect(rest(after)).toEqual(['returned ceiling-passed']);
    speak(after, 60, () => 40);
    expect(rest(after)).toEqual(['returned ceiling-passed']);
  });

  test('after which a station stays silent tells of that', () => {
    const before = openFalseBench(RIG);
    speak(before, 8, () => 50);
    const after = restart(before, MINUTE_MS);
    for (let i = 0; i < 60; i++) {
      after.say('room', { t: 22, rh: 45 });
      after.clock.advance(EVERY_MS);
    }
    expect(rest(after)).toEqual(['first station-quiet']);
    expect(after.noticed[0]?.headline).toBe('The electronics bay is quiet.');
  });
});

test('a shelf ends by itself, and what stands then is told', () => {
  const bench = openFalseBench(RIG);
  speak(bench, 3, () => 61);
  const { alerts } = bench.engine;
  expect(
    alerts.shelve('ceiling-passed:rig', 2 * 60 * MINUTE_MS, 'all night', bench.clock.now()),
  ).toMatchObject({
    ok: false,
    detail: 'It can be shelved for 1 to 60 minutes.',
  });
  expect(alerts.shelve('ceiling-passed:rig', 30 * MINUTE_MS, 'a test', bench.clock.now()).ok).toBe(true);
  speak(bench, 29, () => 61);
  expect(rest(bench)).toEqual(['first ceiling-passed']);
  // Muted, it stays in sight.
  expect(alerts.views(bench.clock.now())[0]).toMatchObject({ state: 'active', shelf: { reason: 'a test' } });
  speak(bench, 2, () => 61);
  expect(rest(bench)).toEqual(['first ceiling-passed', 'repeat ceiling-passed']);
  // Told before it was shelved, its end is told all the same.
  alerts.shelve('ceiling-passed:rig', 30 * MINUTE_MS, '', bench.clock.now());
  speak(bench, 8, () => 40);
  expect(rest(bench).at(-1)).toBe('returned ceiling-passed');
});

test('a quiet board is one alarm that says what cannot be told; nothing clears until a fresh value is heard', () => {
  const bench = openFalseBench(RIG);
  speak(bench, 4, () => 61);
  bench.clock.advance(3 * 60 * MINUTE_MS);
  expect(rest(bench)).toEqual(['first ceiling-passed', 'first board-quiet']);
  const quiet = bench.noticed.find(({ rule }) => rule === 'board-quiet');
  expect(quiet).toMatchObject({ priority: 'high', station: null });
  expect(quiet?.text).toContain('It cannot be told whether this still stands: ceiling passed.');
  const [passed] = bench.engine.alerts
    .views(bench.clock.now())
    .filter(({ rule }) => rule === 'ceiling-passed');
  expect(passed).toMatchObject({ state: 'active', noDataSinceMs: expect.any(Number) });
  expect(bench.alertRecords.some(({ rule, state }) => rule === 'ceiling-passed' && state === 'no-data')).toBe(
    true,
  );
  // Good again, but a fault is no value either.
  for (let i = 0; i < 60; i++) {
    bench.say('rig', { rh: 8 }, { t: 'nack' });
    bench.say('room', { t: 22, rh: 45 });
    bench.clock.advance(EVERY_MS);
  }
  expect(rest(bench)).toEqual([
    'first ceiling-passed',
    'first board-quiet',
    'returned board-quiet',
    'first sensor-fault',
  ]);
  speak(bench, 8, () => 40);
  expect(rest(bench).slice(4)).toEqual(['returned sensor-fault', 'returned ceiling-passed']);
});

test('a clock that is set neither hastens nor delays anything, and is told once', () => {
  const bench = openFalseBench(RIG);
  speak(bench, 3, () => 61);
  bench.clock.stepWall(14 * 86_400_000);
  speak(bench, 11, () => 61);
  expect(rest(bench)).toEqual(['first ceiling-passed', 'first clock-stepped']);
  bench.clock.stepWall(-28 * 86_400_000);
  speak(bench, 3, () => 61);
  expect(rest(bench).slice(2)).toEqual(['first clock-stepped', 'repeat ceiling-passed']);
  expect(bench.noticed.find(({ rule }) => rule === 'clock-stepped')).toMatchObject({
    priority: 'low',
    headline: 'The computer’s clock was set forward by 14 days.',
  });
});

test('at night what can wait waits for the morning, what cannot does not', () => {
  const bench = openFalseBench(RIG, {
    alerting: {
      settings: { quietHours: { zone: 'UTC', from: '06:30', to: '08:00' }, rules: [] },
    },
  });
  // 06:00 to 06:35: warm, then near the ceiling.
  speak(bench, 35, () => 45);
  speak(bench, 20, () => 57);
  expect(told(bench)).toEqual([]);
  speak(bench, 3, () => 61);
  expect(told(bench)).toEqual(['first ceiling-passed']);
  speak(bench, 50, () => 57);
  expect(told(bench)).toEqual(['first ceiling-passed', 'returned ceiling-passed']);
  speak(bench, 15, () => 57);
  expect(told(bench).slice(2)).toEqual(['first ceiling-near']);
  expect(bench.noticed.at(-1)?.at.slice(11, 16)).toBe('08:00');
});

test('two hundred stations behind one cable are one alarm', () => {
  const ids = Array.from({ length: 200 }, (_, i) => `s${i}`);
  const bench = openFalseBench(ids.map((id) => `[[station]]\nid="${id}"\nrole="room"\n`).join(''));
  for (let i = 0; i < 3; i++) {
    for (const id of ids) bench.say(id, { t: 22, rh: 45 });
    bench.clock.advance(2000);
  }
  bench.clock.advance(10 * MINUTE_MS);
  expect(told(bench)).toEqual(['first board-quiet']);
  expect(bench.noticed[0]?.headline).toContain('195 more');
});
