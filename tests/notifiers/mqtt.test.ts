import { chmodSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { connectAsync } from 'mqtt';
import { expect, test } from 'vitest';
import { selfSigned } from '../api/self-signed.ts';
import { notice } from './notices.ts';
import { startBroker } from './peers.ts';
import { ownFolder, broker as receiver, startTelling } from './telling.ts';

const ALL_HERE = (): boolean => true;

test('notices, alerts and state lie in the tree below the prefix; the latest of each is retained', async () => {
  const broker = await startBroker();
  const { notifiers, judged, close } = startTelling(receiver(broker.url, 'prefix = "shed/lowdew"'));
  const first = notice(1);
  const over = notice(2, { reason: 'returned', headline: 'The drying box is warm again' });
  notifiers.tell([first, over]);
  await judged.next();
  await judged.next();
  notifiers.publish(
    [
      { topic: 'station/box/air', payload: '{"airTemperatureC":70}', retain: true },
      { topic: 'spool/gear/drying', payload: '{"state":"drying"}', retain: true },
    ],
    ALL_HERE,
  );
  const topics: string[] = [];
  while (!topics.includes('shed/lowdew/spool/gear/drying'))
    topics.push((await broker.published.next('the state')).topic);
  expect(topics).toEqual([
    'shed/lowdew/presence',
    'shed/lowdew/notice',
    'shed/lowdew/alert/heating-lost/box/gear',
    'shed/lowdew/notice',
    'shed/lowdew/alert/heating-lost/box/gear',
    'shed/lowdew/station/box/air',
    'shed/lowdew/spool/gear/drying',
  ]);
  const kept = await broker.retained(4);
  expect([...kept.keys()].sort()).toEqual([
    'shed/lowdew/alert/heating-lost/box/gear',
    'shed/lowdew/presence',
    'shed/lowdew/spool/gear/drying',
    'shed/lowdew/station/box/air',
  ]);
  expect(kept.get('shed/lowdew/presence')).toBe('here');
  expect(JSON.parse(kept.get('shed/lowdew/alert/heating-lost/box/gear') ?? '')).toEqual({
    mark: null,
    ...over,
  });
  await close();
  expect((await broker.retained(4)).get('shed/lowdew/presence')).toBe('gone');
});

test('cut off without a farewell, the broker itself says that lowdew is gone; the next state brings it back', async () => {
  const broker = await startBroker();
  const { notifiers, one } = startTelling(receiver(broker.url));
  const state = [{ topic: 'station/box/air', payload: '{}', retain: true }];
  notifiers.publish(state, ALL_HERE);
  while ((await broker.published.next()).topic !== 'lowdew/station/box/air');
  broker.cutAll();
  expect(await broker.published.next('the will')).toMatchObject({
    topic: 'lowdew/presence',
    payload: 'gone',
  });
  // Who subscribes now is told so, too.
  expect((await broker.retained(2)).get('lowdew/presence')).toBe('gone');
  // As each minute; the first may come before the cut is noticed at this end.
  let isBack = false;
  const back = broker.published.next('the return').finally(() => {
    isBack = true;
  });
  while (!isBack) {
    notifiers.publish(state, ALL_HERE);
    await new Promise((settle) => setImmediate(settle));
  }
  expect(await back).toMatchObject({ topic: 'lowdew/presence', payload: 'here' });
  expect((await broker.published.next()).topic).toBe('lowdew/station/box/air');
  expect(one('broker')?.standing.state).not.toBe('fault');
});

test('a wrong password, an unknown certificate and a closed port are told in words that help', async () => {
  const tls = selfSigned();
  const folder = ownFolder();
  const secret = join(folder, 'mqtt');
  writeFileSync(secret, 'right\n');
  chmodSync(secret, 0o600);
  const ca = join(folder, 'ca.pem');
  writeFileSync(ca, tls.cert);
  const guarded = await startBroker({ password: 'right', tls });
  const closed = await startBroker();
  await closed.close();
  const login = (password: string): string => `user = "bench"\n${password}\nca_file = "${ca}"`;
  const { notifiers } = startTelling(
    receiver(guarded.url, login(`password_file = "${secret}"`), 'good') +
      receiver(guarded.url, login('password_env = "WRONG"'), 'wrong') +
      receiver(guarded.url, '', 'unknown') +
      receiver(closed.url, '', 'closed') +
      receiver('mqtt://broker.invalid', '', 'nowhere'),
    { env: { WRONG: 'hunter2' } },
  );
  const tried = async (id: string) => {
    const answer = (await notifiers.test(id))?.answer;
    return answer?.outcome === 'taken' ? 'taken' : `${answer?.outcome} ${answer?.code}`;
  };
  expect(await tried('good')).toBe('taken');
  // A test leaves nothing behind but that lowdew is here.
  expect([...(await guarded.retained(1)).keys()]).toEqual(['lowdew/presence']);
  expect(await tried('wrong')).toBe('fault login-refused');
  expect(await tried('unknown')).toBe('fault certificate');
  expect(await tried('closed')).toBe('later connection-refused');
  expect(await tried('nowhere')).toBe('later host-not-found');
  expect(JSON.stringify(notifiers.states(9))).not.toMatch(/hunter2/);
});

test('a broker that speaks only 3.1.1 says so to a receiver set to 5', async () => {
  const broker = await startBroker();
  const { notifiers } = startTelling(receiver(broker.url, 'protocol = "5"'));
  expect((await notifiers.test('broker'))?.answer).toMatchObject({
    outcome: 'fault',
    code: 'protocol-version',
    words: expect.stringContaining('set protocol to "3.1.1" or "5"'),
  });
});

test('what is no longer on the bench is taken off the broker, over a restart; what others keep there is not', async () => {
  const broker = await startBroker();
  const folder = ownFolder();
  const topic = (name: string) => ({ topic: name, payload: '{}', retain: true });
  const shed = topic('station/shed/air');
  const spool = topic('spool/gear/drying');
  const box = topic('station/box/air');
  const told = async (name: string): Promise<string> => {
    for (;;) {
      const { topic: at, payload } = await broker.published.next(name);
      if (at === name) return payload;
    }
  };
  const first = startTelling(receiver(broker.url), { folder });
  first.notifiers.publish([shed, spool, box], ALL_HERE);
  await told('lowdew/station/box/air');
  await first.close();
  // Somebody else's, below the same prefix.
  const other = await connectAsync(broker.url);
  await other.publishAsync('lowdew/station/barn/air', '{}', { qos: 1, retain: true });
  await other.endAsync();
  expect([...(await broker.retained(5)).keys()].sort()).toEqual([
    'lowdew/presence',
    'lowdew/spool/gear/drying',
    'lowdew/station/barn/air',
    'lowdew/station/box/air',
    'lowdew/station/shed/air',
  ]);

  // The bench file names the shed no more; the spool is there, though nothing is known of it yet.
  const second = startTelling(receiver(broker.url), { folder });
  const here = (at: string): boolean => at.startsWith('station/box/') || at.startsWith('spool/gear/');
  second.notifiers.publish([box], here);
  expect(await told('lowdew/station/shed/air')).toBe('');
  expect(await told('lowdew/station/box/air')).toBe('{}');
  expect([...(await broker.retained(4)).keys()].sort()).toEqual([
    'lowdew/presence',
    'lowdew/spool/gear/drying',
    'lowdew/station/barn/air',
    'lowdew/station/box/air',
  ]);
  // Once is enough.
  await expect
    .poll(() => second.state.get('mqtt-topics', 'broker'))
    .toEqual({
      where: `${broker.url} below lowdew/`,
      topics: ['spool/gear/drying', 'station/box/air'],
    });
});
