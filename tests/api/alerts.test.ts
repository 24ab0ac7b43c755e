/** Alarms over HTTP, with the real desk, the real stores and the real guard; the bench's clock is false. */
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { registerAlerts } from '../../server/api/routes-alerts.ts';
import { startAlertRun } from '../../server/cli/alert-run.ts';
import { type AlertDocuments, savedAlerts, savedSettings } from '../../server/cli/keep-alerts.ts';
import type { Notice } from '../../server/records.ts';
import { openAlertHistory } from '../../server/storage/alert-history.ts';
import { type Json, openState } from '../../server/storage/state.ts';
import { openFalseBench } from '../flows/false-bench.ts';
import { open, ownFolder } from '../storage/bench-folder.ts';
import { serve } from './serve.ts';

const BENCH =
  '[[station]]\nid="cabinet"\nrole="electronics"\nceiling_c=60\n[[station]]\nid="room"\nrole="room"\n';
const QUIET_LOG = { info() {}, warn() {}, error() {} };

function openStores(folder: string) {
  const clock = { now: () => ({ wallMs: 0, monotonicMs: 0 }), after: () => () => {}, every: () => () => {} };
  const state = openState({ open, path: join(folder, 'state.sqlite'), clock });
  const history = openAlertHistory({ open, path: join(folder, 'alerts.sqlite'), nowMs: () => 0 });
  onTestFinished(() => {
    history.close();
    state.close();
  });
  const documents: AlertDocuments = {
    put: (kind, id, value) => state.put(kind, id, value as Json),
    all: (kind) => state.all(kind),
    remove: (kind, id) => state.remove(kind, id),
    together: (work) => state.together(work),
  };
  return { documents, history };
}

async function startHotCabinet() {
  const bench = openFalseBench(BENCH);
  const stores = openStores(ownFolder());
  const sent: Notice[] = [];
  let shown = 0;
  const run = startAlertRun({
    desk: bench.engine.alerts,
    ...stores,
    clock: bench.clock,
    show: { alertsChanged: () => shown++ },
    log: QUIET_LOG,
    send: (notices) => sent.push(...notices),
  });
  /** The bench's own driver has looked already; what it found is handed to the run. */
  const hot = (minutes: number, celsius: number): void => {
    for (let i = 0; i < minutes * 6; i++) {
      bench.say('cabinet', { t: celsius });
      bench.clock.advance(10_000);
      const notices = bench.noticed.splice(0);
      const records = bench.alertRecords.splice(0);
      run.alerted({ notices, records, decided: notices, changed: false }, bench.clock.now());
    }
  };
  const { ask } = await serve({ routes: (app) => registerAlerts(app, run) });
  const post = (path: string, body: object, headers: Record<string, string> = {}) =>
    ask(path, {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...headers },
      body: JSON.stringify(body),
    });
  return { bench, ...stores, sent, hot, ask, post, shown: () => shown, run };
}

const statesIn = (body: string): string[] =>
  (JSON.parse(body) as { alerts: { rule: string; state: string; shelf: object | null }[] }).alerts.map(
    ({ rule, state, shelf }) => `${rule} ${state}${shelf ? ' shelved' : ''}`,
  );

test('an alarm is listed, acknowledged, shelved, taken back, and over', async () => {
  const { hot, ask, post, sent } = await startHotCabinet();
  expect(statesIn((await ask('/api/alerts')).body)).toEqual([]);
  hot(3, 62);
  expect(sent.map(({ reason, rule }) => `${reason} ${rule}`)).toEqual(['first ceiling-passed']);
  expect(statesIn((await ask('/api/alerts')).body)).toEqual(['ceiling-passed active']);
  const id = 'ceiling-passed:cabinet';
  const seen = await post('/api/alerts/acknowledge', { ids: [id] });
  expect([seen.status, statesIn(seen.body)]).toEqual([200, ['ceiling-passed acknowledged']]);
  const shelved = await post('/api/alerts/shelve', { id, minutes: 30, reason: 'fan on its way' });
  expect(statesIn(shelved.body)).toEqual(['ceiling-passed acknowledged shelved']);
  expect(statesIn((await post('/api/alerts/unshelve', { id })).body)).toEqual([
    'ceiling-passed acknowledged',
  ]);
  hot(7, 40);
  expect(statesIn((await ask('/api/alerts')).body)).toEqual([]);
  expect(sent.at(-1)).toMatchObject({ reason: 'returned', rule: 'ceiling-passed' });
  const past = JSON.parse((await ask('/api/alerts/history?rule=ceiling-passed')).body) as {
    events: { state: string; shelved: boolean }[];
    more: boolean;
  };
  expect(past.events.map(({ state, shelved: on }) => `${state}${on ? ' shelved' : ''}`)).toEqual([
    'normal',
    'acknowledged',
    'acknowledged shelved',
    'acknowledged',
    'active',
  ]);
  const first = JSON.parse((await ask('/api/alerts/history?limit=2&station=cabinet')).body) as typeof past;
  expect([first.events.length, first.more]).toEqual([2, true]);
});

test('what cannot be is refused by name, and pages from elsewhere are not heard', async () => {
  const { hot, post, ask } = await startHotCabinet();
  hot(3, 62);
  const id = 'ceiling-passed:cabinet';
  expect(await post('/api/alerts/acknowledge', { ids: ['no:such'] })).toMatchObject({
    status: 422,
    code: 'unknown-name',
  });
  // What may be damaging something is put aside for an hour at most.
  expect(await post('/api/alerts/shelve', { id, minutes: 61 })).toMatchObject({
    status: 422,
    code: 'bad-value',
  });
  expect(await post('/api/alerts/shelve', { id, minutes: 100_000 })).toMatchObject({ status: 400 });
  expect(await post('/api/alerts/unshelve', { id })).toMatchObject({ status: 422, code: 'bad-value' });
  expect(
    await post('/api/alerts/acknowledge', { ids: [id] }, { origin: 'http://elsewhere.example' }),
  ).toMatchObject({ status: 403, code: 'origin-refused' });
  expect(statesIn((await ask('/api/alerts')).body)).toEqual(['ceiling-passed active']);
});

test('settings are taken within their limits and outlive the program', async () => {
  const { ask, documents } = await startHotCabinet();
  const put = (body: object) =>
    ask('/api/alerts/settings', {
      method: 'PUT',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  const wanted = {
    quietHours: { zone: 'Europe/Berlin', from: '22:00', to: '07:00' },
    rules: [{ rule: 'heating-lost', station: 'room', onDelayS: 300 }],
  };
  expect((await put(wanted)).status).toBe(200);
  expect(savedSettings(documents)).toEqual(wanted);
  expect(JSON.parse((await ask('/api/alerts/settings')).body)).toMatchObject({ settings: wanted });
  const refused = await put({ ...wanted, rules: [{ rule: 'heating-lost', station: null, onDelayS: 1 }] });
  expect([refused.status, refused.code]).toEqual([422, 'bad-value']);
  expect(refused.body).toContain('outside 120 to 3600');
  expect(savedSettings(documents)).toEqual(wanted);
});

test('killed after a notice was written and before it was handed on: handed on at the next start, by the same id', async () => {
  const bench = openFalseBench(BENCH);
  const { documents, history } = openStores(ownFolder());
  const parts = {
    documents,
    history,
    clock: bench.clock,
    show: { alertsChanged() {} },
    log: QUIET_LOG,
  };
  const dying = startAlertRun({
    ...parts,
    desk: bench.engine.alerts,
    send() {
      throw new Error('killed');
    },
  });
  for (let i = 0; i < 20; i++) {
    bench.say('cabinet', { t: 62 });
    bench.clock.advance(10_000);
  }
  const [notice] = bench.noticed;
  expect(notice?.rule).toBe('ceiling-passed');
  const judgement = { notices: bench.noticed, records: bench.alertRecords, decided: [], changed: true };
  expect(() => dying.alerted(judgement, bench.clock.now())).toThrow('killed');

  const again = openFalseBench(BENCH, { alerting: { saved: savedAlerts(documents) } });
  const sent: Notice[] = [];
  const start = () =>
    startAlertRun({
      ...parts,
      desk: again.engine.alerts,
      send: (notices) => sent.push(...notices),
    });
  start().begin();
  expect(sent).toEqual([notice]);
  start().begin();
  expect(sent).toHaveLength(1);
  expect(again.engine.alerts.views(again.clock.now())[0]).toMatchObject({
    rule: 'ceiling-passed',
    state: 'active',
  });
});
