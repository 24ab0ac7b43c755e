import { expect, test } from 'vitest';
import { composeMessage } from '../../server/notifiers/message.ts';
import { alertTopic } from '../../server/notifiers/topics.ts';
import type { Notice } from '../../server/records.ts';
import { notice } from './notices.ts';

const many = (count: number): [Notice, ...Notice[]] => [
  notice(0),
  ...Array.from({ length: count - 1 }, (_, n) => notice(n + 1)),
];

test('one notice says all of itself in order, and its id is the message’s', () => {
  const { id, subject, text } = composeMessage([notice(1)], null);
  expect({ id, subject }).toEqual({ id: 'heating-lost:box:1', subject: 'The drying box cools, number 1' });
  expect(text).toBe(
    `The drying box cools, number 1
Since 02:10 UTC it fell from 70.1 °C to 63.4 °C.
Check its timer.
Heated plastic gives off fumes: ventilate.

lowdew monitors and advises; it is not a safety device, and a message may not arrive.
`,
  );
});

test('a fold leads with the gravest, lists every notice with its id, and is the same for the same notices', () => {
  const notices = many(12);
  notices[7] = notice(7, { priority: 'high', headline: 'The chamber passed its ceiling' });
  const message = composeMessage(notices, null);
  expect(message.subject).toBe('12 notices: The chamber passed its ceiling');
  expect(message.text).toMatch(/^12 notices since 2026-11-25 02:10 UTC, which could not be sent sooner\./);
  for (const { id, headline } of notices) {
    expect(message.text).toContain(`(${id})`);
    expect(message.text).toContain(headline);
  }
  expect(composeMessage(notices, null)).toEqual(message);
  expect(composeMessage(many(11), null).id).not.toBe(message.id);
});

test('invented readings and tests say so first; a headline is cut, and no break in it ends a header', () => {
  expect(composeMessage([notice(1)], 'SIMULATED').subject).toBe('SIMULATED: The drying box cools, number 1');
  expect(composeMessage([notice(1)], 'SIMULATED').text).toMatch(/^SIMULATED: /);
  const { subject } = composeMessage(
    [notice(1, { headline: `a\r\nBcc: x\u0000\u2028${'y'.repeat(500)}` })],
    null,
  );
  expect(subject).toHaveLength(120);
  expect(subject).toMatch(/^a Bcc: x y+…$/);
});

test('no name of a rule or station reaches another level of the tree, or a wildcard', () => {
  expect(alertTopic({ rule: 'lid', station: null })).toBe('alert/lid');
  expect(alertTopic({ rule: 'lid', station: 'box' })).toBe('alert/lid/box');
  expect(alertTopic({ rule: 'a/#', station: '+', spool: '$SYS' })).toBe('alert/a--/-/-SYS');
});
