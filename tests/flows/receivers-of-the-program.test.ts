import { chmodSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { ReceiverState, TestAnswer } from '../../server/api/messages-receivers.ts';
import { startBroker, startMail, startWeb, status } from '../notifiers/peers.ts';
import { broker as brokerReceiver, email, ownFolder, webhook } from '../notifiers/telling.ts';
import { startProgram } from './program.ts';

const SECRET = 'hunter2-and-more';

/** A bench file with a webhook, a mailbox, a broker, and a webhook that refuses. */
async function bench() {
  const folder = ownFolder();
  const web = await startWeb();
  const refusing = await startWeb(status(404));
  const mail = await startMail();
  const broker = await startBroker({ password: SECRET });
  const file = join(folder, 'bench.toml');
  const secretFile = join(folder, 'mqtt-password');
  writeFileSync(secretFile, `${SECRET}\n`);
  chmodSync(secretFile, 0o600);
  writeFileSync(
    file,
    [
      '[[station]]\nid = "box"\nrole = "drybox"\n[[station]]\nid = "room"\nrole = "room"',
      '[server]\nlisten = "127.0.0.1:0"',
      webhook(web.url, 'secret_env = "HOOK_SECRET"'),
      webhook(refusing.url, '', 'refusing'),
      email(mail.port, 'security = "none"'),
      brokerReceiver(broker.url, 'user = "bench"\npassword_file = "mqtt-password"'),
    ].join('\n'),
  );
  return { web, mail, broker, file, args: ['--bench', file, '--data', join(folder, 'data')] };
}

test('check --notify sends a test to each receiver and says what it answered; without it, nothing is sent', async () => {
  const { web, mail, broker, args } = await bench();
  const quiet = startProgram(['check', ...args], { HOOK_SECRET: SECRET });
  await quiet.ended();
  expect(quiet.out()).toMatch(
    /receiver hook +http:\/\/127\.0\.0\.1:\d+: not tried; `lowdew check --notify` sends/,
  );
  expect(web.posted.all).toHaveLength(0);
  const program = startProgram(['check', '--notify', ...args], { HOOK_SECRET: SECRET });
  expect(await program.ended()).toBe(1);
  expect(program.out()).toMatch(/^ +receiver hook .*It took the message \(204\)/m);
  expect(program.out()).toMatch(
    /^LOOK +receiver refusing .*It refuses \(404\). There is nothing at this address/m,
  );
  expect(program.out()).toMatch(/^ +receiver post .*The mail server took the message/m);
  expect(program.out()).toMatch(/^ +receiver broker .*The broker took it/m);
  expect(JSON.parse((await web.posted.next()).body)).toMatchObject({
    mark: 'TEST',
    subject: expect.stringMatching(/^TEST: /),
  });
  expect((await mail.mailed.next()).raw).toMatch(/^Subject: TEST: A test message from lowdew/m);
  expect((await broker.published.next()).topic).toBe('lowdew/presence');
  expect((await broker.published.next()).topic).toBe('lowdew/notice');
  // Said by lowdew itself on its way out.
  expect(await broker.published.next()).toMatchObject({ topic: 'lowdew/presence', payload: 'gone' });
  const missing = startProgram(['check', ...args]);
  expect(await missing.ended()).toBe(1);
  expect(missing.out()).toMatch(/^LOOK +receiver hook .*environment variable HOOK_SECRET.*is not set/m);
});

test('the running program shows its receivers, tests them, publishes its state, and tells no secret', async () => {
  const { broker, args } = await bench();
  const program = startProgram(['run', ...args], { HOOK_SECRET: SECRET });
  const [, url = ''] = await program.says(/The page: (http:\S+)/);
  const receivers = async (): Promise<ReceiverState[]> =>
    ((await (await fetch(`${url}/api/receivers`)).json()) as { receivers: ReceiverState[] }).receivers;
  expect((await receivers()).map(({ id, kind, state }) => [id, kind, state])).toEqual([
    ['hook', 'webhook', 'new'],
    ['refusing', 'webhook', 'new'],
    ['post', 'email', 'new'],
    ['broker', 'mqtt', 'new'],
  ]);
  const press = async (id: string) => {
    const answer = await fetch(`${url}/api/receivers/${id}/test`, { method: 'POST' });
    return { status: answer.status, ...((await answer.json()) as TestAnswer) };
  };
  for (const id of ['hook', 'post', 'broker'])
    expect(await press(id)).toMatchObject({ status: 200, ok: true, code: null });
  expect(await press('refusing')).toMatchObject({ ok: false, code: 'refused' });
  expect(await press('nobody')).toMatchObject({ status: 404, error: { code: 'unknown-name' } });
  expect((await receivers()).map(({ state }) => state)).toEqual(['well', 'fault', 'well', 'well']);
  const health = await (await fetch(`${url}/api/health`)).text();
  expect((JSON.parse(health) as { troubles: string[] }).troubles).toContainEqual(
    expect.stringMatching(/^Receiver refusing: It refuses \(404\)/),
  );
  // The first state follows some seconds after the start.
  const topics = new Set<string>();
  while (!topics.has('lowdew/station/box/air')) topics.add((await broker.published.next('the state')).topic);
  const state = (await broker.retained(3)).get('lowdew/station/box/air') ?? '';
  expect(JSON.parse(state)).toMatchObject({ mark: null, quiet: true, heard: null });
  const document = await (await fetch(`${url}/api/openapi.json`)).text();
  expect(
    JSON.parse(document).webhooks.notices.post.requestBody.content['application/json'].schema,
  ).toMatchObject({
    type: 'object',
    required: expect.arrayContaining(['format', 'id', 'notices']),
  });
  const shown = document + health + JSON.stringify(await receivers());
  program.child.kill('SIGTERM');
  await program.ended();
  expect((await broker.retained(3)).get('lowdew/presence')).toBe('gone');
  for (const text of [shown, program.out(), program.err()]) {
    expect(text).not.toContain(SECRET);
    expect(text).not.toContain('path-that-is-a-password');
  }
  expect(program.err()).toMatch(/Notices to receiver \\?"refusing\\?": It refuses \(404\)/);
});
