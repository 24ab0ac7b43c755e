import { chmodSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { selfSigned } from '../api/self-signed.ts';
import { notice } from './notices.ts';
import { startMail } from './peers.ts';
import { email, ownFolder, startTelling } from './telling.ts';

/** Soft line breaks and =XX of quoted-printable (RFC 2045 §6.7) undone. */
const decoded = (raw: string): string =>
  Buffer.from(
    raw
      .replace(/=\r\n/g, '')
      .replace(/=([0-9A-F]{2})/g, (_all, hex: string) => String.fromCharCode(Number.parseInt(hex, 16))),
    'latin1',
  ).toString('utf8');

test('a notice arrives as plain text whose subject reads first, and says of itself that no person wrote it', async () => {
  const server = await startMail();
  const { notifiers, judged } = startTelling(email(server.port, 'security = "none"'));
  notifiers.tell([notice(1, { headline: 'Drying box cools since 02:10\r\nBcc: else@example.org' })]);
  const { from, to, raw } = await server.mailed.next();
  expect((await judged.next()).states).toEqual(['sent']);
  expect(from).toBe('bench@example.org');
  // A line break in a headline makes no header of its own.
  expect(to).toEqual(['me@example.org']);
  const [head = '', body = ''] = raw.split('\r\n\r\n');
  expect(head).toMatch(/^Subject: Drying box cools since 02:10 Bcc: else@example.org\r?$/m);
  expect(head).not.toMatch(/^Bcc:/m);
  expect(head).toMatch(/^Content-Type: text\/plain/m);
  expect(head).toMatch(/^Auto-Submitted: auto-generated/m);
  expect(head).toMatch(/^Message-ID: <heating-lost\.box\.1@lowdew\.invalid>/m);
  expect(decoded(body + raw)).toContain('from 70.1 °C to 63.4 °C');
  expect(decoded(raw)).toContain('it is not a safety device, and a message may not arrive');
});

test('a wrong password, an unknown certificate and TLS that is not there are told in words that help', async () => {
  const tls = selfSigned();
  const folder = ownFolder();
  const secret = join(folder, 'mail');
  writeFileSync(secret, 'right');
  chmodSync(secret, 0o600);
  const ca = join(folder, 'ca.pem');
  writeFileSync(ca, tls.cert);
  const login: NonNullable<Parameters<typeof startMail>[0]> = {
    ...tls,
    authOptional: false,
    onAuth({ username, password }, _session, done) {
      if (username === 'bench' && password === 'right') done(null, { user: 'bench' });
      else done(new Error('no such user hunter2'));
    },
  };
  const direct = await startMail({ ...login, secure: true });
  const upgraded = await startMail(login);
  const plain = await startMail();
  const user = (password: string): string => `user = "bench"\n${password}\nca_file = "${ca}"`;
  const { notifiers, one } = startTelling(
    email(direct.port, `security = "tls"\n${user(`password_file = "${secret}"`)}`, 'good') +
      email(upgraded.port, `security = "starttls"\n${user(`password_file = "${secret}"`)}`, 'good2') +
      email(direct.port, `security = "tls"\n${user('password_env = "WRONG"')}`, 'wrong') +
      email(direct.port, 'security = "tls"', 'unknown') +
      email(upgraded.port, 'security = "starttls"', 'unknown2') +
      email(plain.port, 'security = "starttls"', 'no-tls') +
      email(plain.port, 'security = "tls"', 'no-tls2'),
    { env: { WRONG: 'hunter2' } },
  );
  const tried = async (id: string) => {
    const answer = (await notifiers.test(id))?.answer;
    return answer?.outcome === 'taken' ? 'taken' : `${answer?.outcome} ${answer?.code}`;
  };
  expect(await tried('good')).toBe('taken');
  expect((await direct.mailed.next()).user).toBe('bench');
  expect(await tried('good2')).toBe('taken');
  expect((await upgraded.mailed.next()).user).toBe('bench');
  expect(await tried('wrong')).toBe('fault login-refused');
  expect(await tried('unknown')).toBe('fault certificate');
  expect(await tried('unknown2')).toBe('fault certificate');
  expect(await tried('no-tls')).toBe('fault tls-failed');
  expect(await tried('no-tls2')).toBe('fault tls-failed');
  expect(one('wrong')?.standing.words).toContain('does not accept user and password (535)');
  expect(one('unknown')?.standing.words).toContain('signed by itself');
  expect(JSON.stringify(notifiers.states(9))).not.toMatch(/hunter2|right"/);
  expect(plain.mailed.all).toHaveLength(0);
});

test('a server that is busy is tried again, one that knows no such mailbox is a fault', async () => {
  let reply = 451;
  const server = await startMail({
    onRcptTo(_address, _session, done) {
      done(reply === 250 ? null : Object.assign(new Error('x'), { responseCode: reply }));
    },
  });
  const { notifiers, judged, clock, one } = startTelling(email(server.port, 'security = "none"'));
  notifiers.tell([notice(1)]);
  expect((await judged.next()).states).toEqual(['retry']);
  reply = 550;
  clock.advance(5000);
  expect((await judged.next()).states).toEqual(['fault']);
  expect(one('post')?.standing).toMatchObject({
    state: 'fault',
    code: 'mail-refused',
    words: expect.stringContaining('are the mailboxes under from and to spelt right'),
  });
  reply = 250;
  clock.advance(3_600_000);
  expect((await judged.next()).states).toEqual(['sent']);
  expect(server.mailed.all).toHaveLength(1);
});
