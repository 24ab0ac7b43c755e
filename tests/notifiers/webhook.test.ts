import { execFileSync } from 'node:child_process';
import { createHmac } from 'node:crypto';
import { chmodSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Value } from 'typebox/value';
import { expect, test } from 'vitest';
import { sign } from '../../server/notifiers/signature.ts';
import { WebhookBodySchema } from '../../server/notifiers/webhook-body.ts';
import { selfSigned } from '../api/self-signed.ts';
import { notice, STORY_MS } from './notices.ts';
import { startWeb, status } from './peers.ts';
import { ownFolder, startTelling, webhook } from './telling.ts';

const SECRET = 'correct horse battery staple';

test('a notice arrives as JSON by its schema, with id and time, signed', async () => {
  const web = await startWeb();
  const { notifiers, judged, one } = startTelling(webhook(web.url, 'secret_env = "HOOK"'), {
    env: { HOOK: SECRET },
  });
  notifiers.tell([notice(1)]);
  const { headers, body } = await web.posted.next();
  expect((await judged.next()).states).toEqual(['sent']);
  const parsed = JSON.parse(body);
  expect(Value.Check(WebhookBodySchema, parsed)).toBe(true);
  expect(parsed).toMatchObject({
    format: 'lowdew-notices-1',
    id: notice(1).id,
    mark: null,
    subject: notice(1).headline,
    notices: [notice(1)],
  });
  for (const part of ['headline', 'text', 'advice', 'caution'] as const)
    expect(parsed.text).toContain(notice(1)[part]);
  expect(headers).toMatchObject({
    'content-type': 'application/json; charset=utf-8',
    'lowdew-notice': notice(1).id,
    'lowdew-timestamp': String(STORY_MS / 1000),
  });
  // Verified as a receiver would, with Node's own HMAC.
  const wanted = createHmac('sha256', SECRET).update(`${headers['lowdew-timestamp']}.${body}`).digest('hex');
  expect(headers['lowdew-signature']).toBe(`sha256=${wanted}`);
  expect(one('hook')).toMatchObject({
    where: `http://127.0.0.1:${web.port}`,
    standing: { state: 'well' },
    counts: { waiting: 0 },
    log: [{ noticeId: notice(1).id, state: 'sent', tries: 1 }],
  });
});

test('the signature is the HMAC that openssl computes', () => {
  let answer: string;
  try {
    answer = execFileSync('openssl', ['dgst', '-sha256', '-hmac', SECRET, '-r'], {
      input: '1764036600.{"id":"ü"}',
    }).toString();
  } catch (error) {
    // A machine without openssl; its value, computed once by OpenSSL 3.0.
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    answer = OPENSSL_ANSWER;
  }
  expect(answer.slice(0, 64)).toBe(OPENSSL_ANSWER);
  expect(sign(SECRET, 1_764_036_600, '{"id":"ü"}')).toBe(`sha256=${OPENSSL_ANSWER}`);
});

test('a webhook without a secret is not signed; one whose secret is missing or exposed is not sent', async () => {
  const web = await startWeb();
  const folder = ownFolder();
  const path = join(folder, 'hook-secret');
  writeFileSync(path, `${SECRET}\n`, { mode: 0o644 });
  const { notifiers } = startTelling(
    webhook(web.url, '', 'plain') +
      webhook(web.url, 'secret_env = "NOT_SET"', 'missing') +
      webhook(web.url, `secret_file = "${path}"`, 'filed'),
  );
  const tried = async (id: string) => (await notifiers.test(id))?.answer;
  expect(await tried('plain')).toMatchObject({ outcome: 'taken' });
  expect((await web.posted.next()).headers['lowdew-signature']).toBeUndefined();
  expect(await tried('missing')).toMatchObject({
    outcome: 'fault',
    code: 'secret-missing',
    words: expect.stringContaining('environment variable NOT_SET'),
  });
  expect(await tried('filed')).toMatchObject({
    code: 'secret-exposed',
    words: expect.stringContaining('chmod 600'),
  });
  chmodSync(path, 0o600);
  expect(await tried('filed')).toMatchObject({ outcome: 'taken' });
  const { headers, body } = await web.posted.next();
  const wanted = createHmac('sha256', SECRET).update(`${headers['lowdew-timestamp']}.${body}`).digest('hex');
  expect(headers['lowdew-signature']).toBe(`sha256=${wanted}`);
  expect(web.posted.all).toHaveLength(2);
});

test('a certificate that nobody vouches for is refused in clear words, and taken once it is named', async () => {
  const tls = selfSigned();
  const web = await startWeb(status(204), { tls });
  const ca = join(ownFolder(), 'ca.pem');
  writeFileSync(ca, tls.cert);
  const { notifiers } = startTelling(
    webhook(web.url, '', 'unknown') + webhook(web.url, `ca_file = "${ca}"`, 'named'),
  );
  expect((await notifiers.test('unknown'))?.answer).toMatchObject({
    outcome: 'fault',
    code: 'certificate',
    words: expect.stringMatching(/certificate of the receiver is signed by itself.*ca_file/),
  });
  expect(web.posted.all).toHaveLength(0);
  expect((await notifiers.test('named'))?.answer).toMatchObject({ outcome: 'taken' });
});

test('a name that does not exist, a closed port and a redirection are told apart in words', async () => {
  const web = await startWeb(status(302, { location: 'http://127.0.0.1:1/elsewhere' }));
  const closed = await startWeb();
  await closed.close();
  const { notifiers, one } = startTelling(
    // RFC 6761 §6.4: no name under invalid. exists.
    webhook('http://receiver.invalid/in', '', 'nowhere') +
      webhook(closed.url, '', 'closed') +
      webhook(web.url, '', 'moved'),
  );
  const tried = async (id: string) => (await notifiers.test(id))?.answer;
  expect(await tried('nowhere')).toMatchObject({ code: 'host-not-found', outcome: 'later' });
  expect(await tried('closed')).toMatchObject({ code: 'connection-refused', outcome: 'later' });
  expect(await tried('moved')).toMatchObject({ code: 'redirected', outcome: 'fault' });
  // Paths often are the password: they are in no words.
  for (const id of ['nowhere', 'closed', 'moved'])
    expect(JSON.stringify(one(id))).not.toContain('path-that-is-a-password');
});

const OPENSSL_ANSWER = '52d19c70127d21899a308bd7869310faf4e823bc3475be3a18b056d50719638e';
