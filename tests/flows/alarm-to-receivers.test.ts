import { expect, test } from 'vitest';
import type { WebhookBody } from '../../server/notifiers/webhook-body.ts';
import type { Notice } from '../../server/records.ts';
import { notice } from '../notifiers/notices.ts';
import { startBroker, startMail, startWeb } from '../notifiers/peers.ts';
import { broker as brokerReceiver, email, startTelling, webhook } from '../notifiers/telling.ts';
import { openFalseBench } from './false-bench.ts';

const BENCH =
  '[[station]]\nid="box"\nrole="drybox"\n[[station]]\nid="room"\nrole="room"\n[[spool]]\nid="gear"\nstation="box"\nmaterial="pa6"\nnet_mass_g=900\n';

test('a board that falls silent reaches webhook, mailbox and broker once, and so does its return', async () => {
  const bench = openFalseBench(BENCH);
  const web = await startWeb();
  const mail = await startMail();
  const broker = await startBroker();
  const { notifiers, judged } = startTelling(
    webhook(web.url) + email(mail.port, 'security = "none"') + brokerReceiver(broker.url, 'live = false'),
    { clock: bench.clock },
  );
  let handed = 0;
  const handOn = (): void => {
    notifiers.tell(bench.noticed.slice(handed));
    handed = bench.noticed.length;
  };
  const speak = (minutes: number): void => {
    for (let i = 0; i < minutes * 30; i++) {
      bench.say('box', { t: 30, rh: 30 });
      bench.say('room', { t: 22, rh: 45 });
      bench.clock.advance(2000);
    }
  };
  /** The one notice that each of the three was given, which must be the same. */
  const everywhere = async (): Promise<Notice> => {
    const { notices } = JSON.parse((await web.posted.next()).body) as WebhookBody;
    const [first] = notices;
    if (!first || notices.length > 1) throw new Error('not one notice');
    const { raw } = await mail.mailed.next();
    expect(raw).toContain(`Message-ID: <${first.id.replace(/[^A-Za-z0-9.-]/g, '.')}@lowdew.invalid>`);
    let published = await broker.published.next();
    while (published.topic !== 'lowdew/notice') published = await broker.published.next();
    expect(JSON.parse(published.payload)).toEqual({ mark: null, ...first });
    // Noted by all three, before the false clock runs on.
    for (let n = 0; n < 3; n++) expect((await judged.next()).states).toEqual(['sent']);
    return first;
  };
  speak(3);
  // Four minutes: past what a station may be silent for, and past the alarm's delay.
  bench.clock.advance(4 * 60_000);
  handOn();
  const silence = await everywhere();
  expect(silence).toMatchObject({ kind: 'alarm', rule: 'board-quiet', reason: 'first' });
  bench.clock.advance(30 * 60_000);
  handOn();
  speak(5);
  handOn();
  const back = await everywhere();
  expect(back).toMatchObject({ rule: 'board-quiet', reason: 'returned' });
  expect(back.id).not.toBe(silence.id);
  expect(web.posted.all).toHaveLength(2);
  expect(mail.mailed.all).toHaveLength(2);
});

test('a thousand alarms at once arrive in twenty messages, none left out', async () => {
  const web = await startWeb();
  const { notifiers, one } = startTelling(webhook(web.url));
  const told = Array.from({ length: 1000 }, (_, n) => notice(n));
  notifiers.tell(told);
  const arrived: string[] = [];
  while (arrived.length < told.length) {
    const { notices } = JSON.parse((await web.posted.next()).body) as WebhookBody;
    expect(notices.length).toBeLessThanOrEqual(50);
    arrived.push(...notices.map(({ id }) => id));
  }
  expect(arrived).toEqual(told.map(({ id }) => id));
  expect(web.posted.all).toHaveLength(20);
  while (one('hook')?.counts.waiting !== 0) await web.roundTrip();
});
