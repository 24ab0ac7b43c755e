import { expect, test } from 'vitest';
import { httpAnswer, retryAfterMs } from '../../server/notifiers/http-answer.ts';
import { mailAnswer } from '../../server/notifiers/mail.ts';
import { brokerAnswer } from '../../server/notifiers/mqtt-answer.ts';
import { networkAnswer } from '../../server/notifiers/network-trouble.ts';

const NOW_MS = Date.UTC(1999, 11, 31, 23, 58, 59);

test('Retry-After is read as seconds or as a date', () => {
  // Both examples of RFC 9110 §10.2.3; the date lies one minute after NOW.
  expect(retryAfterMs('Fri, 31 Dec 1999 23:59:59 GMT', NOW_MS)).toBe(60_000);
  expect(retryAfterMs('120', NOW_MS)).toBe(120_000);
  expect(retryAfterMs('Fri, 31 Dec 1999 23:00:00 GMT', NOW_MS)).toBe(0);
  for (const text of [undefined, '', '-5', '1.5', 'soon', '2026-11-25T00:00:00Z', '99999999999'])
    expect(retryAfterMs(text, NOW_MS)).toBeNull();
});

test('a status is taken, passing or a fault, as RFC 9110 §15 means it', () => {
  const outcome = (status: number, retryAfter?: string) =>
    httpAnswer(status, { 'retry-after': retryAfter }, NOW_MS);
  for (const status of [200, 201, 202, 204]) expect(outcome(status).outcome).toBe('taken');
  for (const status of [408, 425, 429, 500, 502, 503, 504, 599])
    expect(outcome(status).outcome).toBe('later');
  for (const status of [300, 301, 302, 307, 308, 400, 401, 403, 404, 405, 410, 413, 422])
    expect(outcome(status)).toMatchObject({
      outcome: 'fault',
      about: [400, 413, 422].includes(status) ? 'content' : 'receiver',
    });
  expect(outcome(429, '120')).toMatchObject({ code: 'too-many', askedWaitMs: 120_000 });
  expect(outcome(503, '120')).toMatchObject({ code: 'too-many', askedWaitMs: 120_000 });
  expect(outcome(503)).toMatchObject({ code: 'receiver-failed', askedWaitMs: null });
});

test('SMTP replies of 4yz are passing and of 5yz final, as RFC 5321 §4.2.1 means them', () => {
  for (const responseCode of [421, 450, 451, 452])
    expect(mailAnswer({ code: 'EENVELOPE', responseCode }).outcome).toBe('later');
  for (const responseCode of [500, 530, 535, 550, 552, 553, 554])
    expect(mailAnswer({ code: 'EENVELOPE', responseCode }).outcome).toBe('fault');
  expect(mailAnswer({ code: 'EAUTH', responseCode: 535 })).toMatchObject({ code: 'login-refused' });
  expect(mailAnswer({ code: 'EAUTH', responseCode: 454 }).outcome).toBe('later');
});

test('return codes of MQTT 3.1.1 §3.2.2.3 and reason codes of MQTT 5 §2.4 are told apart', () => {
  const code = (number: number) => {
    const answer = brokerAnswer({ code: number });
    return answer.outcome === 'taken' ? 'taken' : `${answer.outcome} ${answer.code}`;
  };
  expect([1, 0x84].map(code)).toEqual(['fault protocol-version', 'fault protocol-version']);
  expect([4, 5, 0x86, 0x87].map(code)).toEqual(Array(4).fill('fault login-refused'));
  expect([3, 0x88, 0x89, 0x8b].map(code)).toEqual(Array(4).fill('later receiver-failed'));
  expect([0x96, 0x97].map(code)).toEqual(Array(2).fill('later too-many'));
});

test('failures of the network have clear words, whether they may mend or want a person', () => {
  const answer = (code: string) => networkAnswer({ code }, 'the receiver');
  expect(answer('ENOTFOUND')).toMatchObject({ outcome: 'later', code: 'host-not-found' });
  expect(answer('ECONNREFUSED').words).toContain('is it running, and is the port right?');
  expect(answer('CERT_HAS_EXPIRED')).toMatchObject({ outcome: 'fault', code: 'certificate' });
  expect(answer('ERR_TLS_CERT_ALTNAME_INVALID').words).toContain('made out to another name');
  expect(networkAnswer({ code: 'ESOCKET', originalCode: 'ECONNREFUSED' }, 'x')).toMatchObject({
    code: 'connection-refused',
  });
  expect(networkAnswer({ errors: [{ code: 'EHOSTUNREACH' }] }, 'x')).toMatchObject({ code: 'unreachable' });
  expect(networkAnswer(new Error('password=hunter2'), 'the receiver').words).not.toContain('hunter2');
});
