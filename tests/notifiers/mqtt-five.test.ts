import { expect, test } from 'vitest';
import { startFive } from './five.ts';
import { notice } from './notices.ts';
import { broker as receiver, startTelling } from './telling.ts';

test('over MQTT 5 the will waits a moment, payloads say what they are, and state grows stale by itself', async () => {
  const broker = await startFive();
  const { notifiers, judged, close } = startTelling(
    receiver(broker.url, 'protocol = "5"\nuser = "bench"\npassword_env = "MQTT"'),
    { env: { MQTT: 'right' } },
  );
  notifiers.tell([notice(1)]);
  expect((await judged.next()).states).toEqual(['sent']);
  const connect = await broker.connects.next();
  expect(connect).toMatchObject({
    protocolVersion: 5,
    clean: true,
    username: 'bench',
    will: { topic: 'lowdew/presence', qos: 1, retain: true, properties: { willDelayInterval: 10 } },
  });
  expect(connect.password?.toString()).toBe('right');
  expect(connect.will?.payload.toString()).toBe('gone');
  notifiers.publish(
    [{ topic: 'station/box/air', payload: '{"airTemperatureC":70}', retain: true }],
    () => true,
  );
  const published = [];
  for (let n = 0; n < 4; n++) published.push(await broker.publishes.next());
  expect(published.map(({ topic, qos, retain }) => [topic, qos, retain])).toEqual([
    ['lowdew/presence', 1, true],
    ['lowdew/notice', 1, false],
    ['lowdew/alert/heating-lost/box/gear', 1, true],
    ['lowdew/station/box/air', 1, true],
  ]);
  expect(published[1]?.properties).toMatchObject({
    payloadFormatIndicator: true,
    contentType: 'application/json',
  });
  expect(published[1]?.properties?.messageExpiryInterval).toBeUndefined();
  expect(published[3]?.properties?.messageExpiryInterval).toBe(3600);
  await close();
  expect(await broker.publishes.next()).toMatchObject({ topic: 'lowdew/presence', retain: true });
  expect(await broker.leaves.next()).toBe('disconnect');
});

test('a refusal over MQTT 5 is told by its reason code, at the door and for a message', async () => {
  // 0x86: bad user name or password; 0x88: server unavailable; 0x87: not authorized; 0x97: quota exceeded.
  const door = await startFive(0x86);
  const away = await startFive(0x88);
  const strict = await startFive();
  const { notifiers } = startTelling(
    receiver(door.url, 'protocol = "5"', 'door') +
      receiver(away.url, 'protocol = "5"', 'away') +
      receiver(strict.url, 'protocol = "5"', 'strict'),
  );
  const tried = async (id: string) => (await notifiers.test(id))?.answer;
  expect(await tried('door')).toMatchObject({ outcome: 'fault', code: 'login-refused' });
  expect(await tried('away')).toMatchObject({ outcome: 'later', code: 'receiver-failed' });
  strict.answerPublishes(0x97);
  expect(await tried('strict')).toMatchObject({ outcome: 'later', code: 'too-many' });
  strict.answerPublishes(0x87);
  expect(await tried('strict')).toMatchObject({ outcome: 'fault', code: 'login-refused' });
  strict.answerPublishes(0x10);
  // 0x10: nobody has subscribed. It was taken all the same.
  expect(await tried('strict')).toMatchObject({ outcome: 'taken' });
});
