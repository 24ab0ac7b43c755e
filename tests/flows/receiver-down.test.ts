import { expect, test } from 'vitest';
import type { WebhookBody } from '../../server/notifiers/webhook-body.ts';
import { notice } from '../notifiers/notices.ts';
import { type HttpScript, startMail, startWeb, status } from '../notifiers/peers.ts';
import { email, startTelling, webhook } from '../notifiers/telling.ts';

const MINUTE_MS = 60_000;
const idsOf = (body: string): string[] => (JSON.parse(body) as WebhookBody).notices.map(({ id }) => id);

test('a receiver down for an hour is tried at growing intervals, then told everything in one message', async () => {
  const web = await startWeb();
  const { port } = web;
  await web.close();
  const { notifiers, judged, clock, one } = startTelling(webhook(`http://127.0.0.1:${port}/in`));
  const startMs = clock.now().wallMs;
  const triedAtS: number[] = [];
  const told: string[] = [];
  let attempts = 0;
  const look = async (): Promise<void> => {
    await judged.next('an attempt');
    triedAtS.push((clock.now().wallMs - startMs) / 1000);
    attempts++;
  };
  notifiers.tell([notice(0)]);
  told.push(notice(0).id);
  await look();
  // Second by second; a notice every five minutes comes on top and does not hasten the tries.
  for (let s = 1; s <= 3600; s++) {
    if (s % 300 === 0) {
      notifiers.tell([notice(s)]);
      told.push(notice(s).id);
    }
    clock.advance(1000);
    if (nextTryS(triedAtS) === s) await look();
  }
  // By hand from "doubled from 5 s, at most 900 s": 0 5 15 35 75 155 315 635 1275, then every 900 s.
  expect(triedAtS).toEqual([0, 5, 15, 35, 75, 155, 315, 635, 1275, 2175, 3075]);
  expect(attempts).toBe(11);
  expect(one('hook')?.standing).toMatchObject({ state: 'retrying', code: 'connection-refused' });
  const back = await startWeb(status(200), { port });
  // To the next try and not beyond: what is under way meanwhile would run out of time.
  clock.advance((nextTryS(triedAtS) - 3600) * 1000);
  const { body } = await back.posted.next('the summary');
  expect((await judged.next()).states).toEqual(told.map(() => 'sent'));
  expect(idsOf(body)).toEqual(told);
  expect((JSON.parse(body) as WebhookBody).subject).toBe(`13 notices: ${notice(3600).headline}`);
  expect(back.posted.all).toHaveLength(1);
  // Well again, the next comes at once and by itself.
  notifiers.tell([notice(9000)]);
  expect(idsOf((await back.posted.next()).body)).toEqual([notice(9000).id]);
  expect((await judged.next()).states).toEqual(['sent']);
  expect(one('hook')).toMatchObject({ standing: { state: 'well' }, counts: { waiting: 0 } });
});

/** When the next try is due by the rule, told from the tries so far and not from the program. */
function nextTryS(triedAtS: readonly number[]): number {
  const waitS = Math.min(900, 5 * 2 ** (triedAtS.length - 1));
  return (triedAtS.at(-1) ?? 0) + waitS;
}

test('a receiver that is slow but successful is told once', async () => {
  let answer = (): void => {};
  const web = await startWeb((_posted, response) => {
    answer = () => response.writeHead(200).end();
  });
  const { notifiers, judged, clock } = startTelling(webhook(web.url));
  notifiers.tell([notice(1)]);
  await web.posted.next();
  clock.advance(55_000);
  answer();
  expect((await judged.next()).states).toEqual(['sent']);
  clock.advance(60 * MINUTE_MS);
  expect(web.posted.all).toHaveLength(1);
});

test('one that never answers is given up after a minute and told again with the same id', async () => {
  const never: HttpScript = () => {};
  const web = await startWeb(never);
  const { notifiers, judged, clock, turns } = startTelling(webhook(web.url));
  notifiers.tell([notice(1)]);
  const first = await web.posted.next();
  clock.advance(60_000);
  expect((await judged.next()).states).toEqual(['retry']);
  expect(turns).toEqual([
    expect.stringMatching(/^hook timed-out: .*may have taken the message all the same/),
  ]);
  web.answer(status(204));
  clock.advance(5000);
  const second = await web.posted.next();
  expect((await judged.next()).states).toEqual(['sent']);
  expect(second.headers['lowdew-notice']).toBe(first.headers['lowdew-notice']);
  expect(second.body).toBe(first.body);
});

test('stopped while a receiver dawdles, lowdew does not wait for it, and tells it after the next start', async () => {
  const web = await startWeb(() => {});
  const first = startTelling(webhook(web.url));
  first.notifiers.tell([notice(1)]);
  await web.posted.next();
  // The false clock stands still: were the attempt not broken off, this would never settle.
  await first.close();
  web.answer(status(200));
  const second = startTelling(webhook(web.url), { folder: first.folder, clock: first.clock });
  expect(idsOf((await web.posted.next()).body)).toEqual([notice(1).id]);
  expect((await second.judged.next()).states).toEqual(['sent']);
  expect(first.judged.all).toHaveLength(0);
});

test('"too many requests" is honoured for as long as it asks, even when something urgent comes', async () => {
  const web = await startWeb(status(429, { 'retry-after': '1200' }));
  const { notifiers, judged, clock } = startTelling(webhook(web.url));
  notifiers.tell([notice(1)]);
  await web.posted.next();
  expect((await judged.next()).states).toEqual(['retry']);
  web.answer(status(200));
  notifiers.tell([notice(2, { priority: 'high' })]);
  clock.advance(20 * MINUTE_MS - 1);
  expect(web.posted.all).toHaveLength(1);
  clock.advance(1);
  expect(idsOf((await web.posted.next()).body)).toEqual([notice(1).id]);
  expect(idsOf((await web.posted.next()).body)).toEqual([notice(2).id]);
});

test('a wait of our own is broken by an urgent notice', async () => {
  const web = await startWeb(status(500));
  const { notifiers, judged, clock } = startTelling(webhook(web.url));
  notifiers.tell([notice(1)]);
  await web.posted.next();
  await judged.next();
  notifiers.tell([notice(2)]);
  clock.advance(4999);
  expect(web.posted.all).toHaveLength(1);
  web.answer(status(200));
  notifiers.tell([notice(3, { priority: 'high' })]);
  for (const n of [1, 2, 3]) expect(idsOf((await web.posted.next()).body)).toEqual([notice(n).id]);
});

test('a refusal is shown as a fault, tried again each hour, and ends when the person has mended it', async () => {
  const web = await startWeb(status(404));
  const { notifiers, judged, clock, one, turns } = startTelling(webhook(web.url));
  notifiers.tell([notice(1)]);
  expect((await judged.next()).states).toEqual(['fault']);
  expect(one('hook')).toMatchObject({
    standing: { state: 'fault', code: 'refused', words: expect.stringContaining('nothing at this address') },
    counts: { waiting: 1, faults: 1 },
  });
  expect(turns).toHaveLength(1);
  clock.advance(59 * MINUTE_MS);
  expect(web.posted.all).toHaveLength(1);
  clock.advance(MINUTE_MS);
  expect((await judged.next()).states).toEqual(['fault']);
  // Mended: the test button says so, and what waited comes after it at once.
  web.answer(status(200));
  expect((await notifiers.test('hook'))?.answer).toMatchObject({ outcome: 'taken' });
  expect((await judged.next()).states).toEqual(['sent']);
  expect(web.posted.all.map(({ body }) => (JSON.parse(body) as WebhookBody).mark)).toEqual([
    null,
    null,
    'TEST',
    null,
  ]);
  expect(one('hook')).toMatchObject({ standing: { state: 'well' }, counts: { waiting: 0, faults: 0 } });
});

test('mended without a word, the first that is taken brings the other refused ones at once', async () => {
  const web = await startWeb(status(403));
  const { notifiers, judged, clock } = startTelling(webhook(web.url));
  for (const n of [1, 2, 3]) {
    notifiers.tell([notice(n)]);
    expect((await judged.next()).states).toEqual(['fault']);
    clock.advance(10 * MINUTE_MS);
  }
  web.answer(status(200));
  // An hour after the first refusal; the second would be due ten minutes later, the third twenty.
  clock.advance(30 * MINUTE_MS);
  for (let n = 0; n < 3; n++) expect((await judged.next()).states).toEqual(['sent']);
  expect(web.posted.all.slice(3).map(({ body }) => idsOf(body))).toEqual(
    [1, 2, 3].map((n) => [notice(n).id]),
  );
});

test('one message that a receiver will not have does not hold up the others', async () => {
  const unwanted = notice(3).id;
  const web = await startWeb(({ body }, response) => {
    response.writeHead(idsOf(body).includes(unwanted) ? 422 : 200).end();
  });
  const { notifiers, judged, one } = startTelling(webhook(web.url));
  notifiers.tell(Array.from({ length: 8 }, (_, n) => notice(n)));
  const states: string[] = [];
  // The fold of eight is refused; then each goes alone.
  for (let n = 0; n < 9; n++) states.push(...(await judged.next()).states);
  expect(states.filter((state) => state === 'sent')).toHaveLength(7);
  expect(one('hook')).toMatchObject({ counts: { waiting: 1, faults: 1 } });
  expect(one('hook')?.log.find(({ noticeId }) => noticeId === unwanted)).toMatchObject({
    state: 'fault',
    words: expect.stringContaining('does not accept this message'),
  });
});

test('a receiver that fails or dawdles holds up no other', async () => {
  const hanging = await startWeb(() => {});
  const failing = await startWeb(status(500));
  const mail = await startMail();
  const { notifiers, judged } = startTelling(
    webhook(hanging.url, '', 'hanging') +
      webhook(failing.url, '', 'failing') +
      email(mail.port, 'security = "none"', 'good'),
  );
  notifiers.tell([notice(1), notice(2)]);
  await mail.mailed.next();
  await mail.mailed.next();
  const seen = new Set<string>();
  while (!(seen.has('good sent') && seen.has('failing retry'))) {
    const { receiver, states } = await judged.next();
    seen.add(`${receiver} ${states[0]}`);
  }
  expect([...seen].some((one) => one.startsWith('hanging'))).toBe(false);
});

test('each receiver is told of what it asked for', async () => {
  const all = await startWeb();
  const grave = await startWeb();
  const { notifiers } = startTelling(
    webhook(all.url, '', 'all') + webhook(grave.url, 'least_priority = "medium"\nkinds = ["alarm"]', 'grave'),
  );
  notifiers.tell([
    notice(1, { kind: 'news', priority: 'high' }),
    notice(2, { priority: 'low' }),
    notice(3, { priority: 'medium' }),
    notice(4, { priority: 'high' }),
  ]);
  for (const n of [1, 2, 3, 4]) expect(idsOf((await all.posted.next()).body)).toEqual([notice(n).id]);
  for (const n of [3, 4]) expect(idsOf((await grave.posted.next()).body)).toEqual([notice(n).id]);
  expect(grave.posted.all).toHaveLength(2);
});
