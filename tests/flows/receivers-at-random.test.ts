import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';
import type { WebhookBody } from '../../server/notifiers/webhook-body.ts';
import { notice } from '../notifiers/notices.ts';
import { type HttpScript, startBroker, startMail, startWeb } from '../notifiers/peers.ts';
import { broker as brokerReceiver, email, startTelling, webhook } from '../notifiers/telling.ts';
import { createRandom } from '../random.ts';

setFlagsFromString('--expose-gc');
const collectGarbage = runInNewContext('gc') as () => void;
const heapBytes = (): number => {
  collectGarbage();
  return process.memoryUsage().heapUsed;
};

const STEP_MS = 15_000;
const STEPS = 240;
/** Ids of notices in a mail, as each is written below its text; a single one is its Message-ID. */
const idsOfMail = (raw: string): string[] =>
  [
    ...raw.replace(/=\r\n/g, '').matchAll(/heating-lost:box:\d+/g),
    ...raw.matchAll(/heating-lost\.box\.\d+(?=@)/g),
  ].map(([id]) => id.replaceAll('.', ':'));

test('sixty minutes with every receiver failing at random: every notice arrives, copies by the same id, memory flat', async () => {
  const random = createRandom(20_261_125);
  /** Good for some time, bad in one way or another for some time. */
  const moods = ['good', 'fails', 'too-many', 'refuses', 'cuts', 'takes-and-cuts'] as const;
  const mood = {
    web: 'good' as (typeof moods)[number],
    mail: 'good' as (typeof moods)[number],
    broker: 'good',
  };
  const misbehave: HttpScript = (_posted, response) => {
    switch (mood.web) {
      case 'good':
        response.writeHead(200).end();
        return;
      case 'fails':
        response.writeHead(503).end();
        return;
      case 'too-many':
        response.writeHead(429, { 'retry-after': '20' }).end();
        return;
      case 'refuses':
        response.writeHead(404).end();
        return;
      default:
        response.socket?.destroy();
    }
  };
  const web = await startWeb(misbehave);
  const mail = await startMail({
    onRcptTo(_address, _session, done) {
      if (mood.mail === 'good') done(null);
      else if (mood.mail === 'cuts') mail.cutAll();
      else done(Object.assign(new Error('x'), { responseCode: mood.mail === 'refuses' ? 550 : 451 }));
    },
  });
  const broker = await startBroker();
  const arrived = {
    hook: new Map<string, number>(),
    post: new Map<string, number>(),
    broker: new Map<string, number>(),
  };
  const count = (to: Map<string, number>, id: string): void => {
    to.set(id, (to.get(id) ?? 0) + 1);
  };
  const { notifiers, clock, one, close } = startTelling(
    webhook(web.url) + email(mail.port, 'security = "none"') + brokerReceiver(broker.url),
  );
  const told: string[] = [];
  const heap: number[] = [];
  let seen = { web: 0, mail: 0, broker: 0 };
  const takeStock = (): void => {
    for (const { body } of web.posted.all.slice(seen.web))
      for (const { id } of (JSON.parse(body) as WebhookBody).notices) count(arrived.hook, id);
    for (const { raw } of mail.mailed.all.slice(seen.mail))
      for (const id of idsOfMail(raw)) count(arrived.post, id);
    for (const { topic, payload } of broker.published.all.slice(seen.broker))
      if (topic === 'lowdew/notice') count(arrived.broker, (JSON.parse(payload) as { id: string }).id);
    seen = { web: web.posted.all.length, mail: mail.mailed.all.length, broker: broker.published.all.length };
  };
  for (let step = 0; step < STEPS; step++) {
    if (step % 4 === 0) {
      mood.web = moods[Math.floor(random() * moods.length)] ?? 'good';
      mood.mail = moods[Math.floor(random() * moods.length)] ?? 'good';
    }
    if (random() < 0.02) broker.cutAll();
    const isLast = step >= STEPS - 40;
    // The last ten minutes are quiet and good, as every trouble ends some time.
    if (isLast) Object.assign(mood, { web: 'good', mail: 'good' });
    else
      for (let n = 0; n < 2; n++)
        if (random() < 0.4) {
          const next = notice(told.length, { priority: random() < 0.1 ? 'high' : 'medium' });
          told.push(next.id);
          notifiers.tell([next]);
        }
    clock.advance(STEP_MS);
    // Some real round trips, so that the peers get their say within the step.
    await web.roundTrip();
    await web.roundTrip();
    if (step === 40 || step === STEPS - 1) {
      takeStock();
      heap.push(heapBytes());
    }
  }
  // What was refused waits for its hour; the person presses the test button.
  for (const id of ['hook', 'post', 'broker'])
    expect((await notifiers.test(id))?.answer.outcome).toBe('taken');
  for (let n = 0; n < 2000 && ['hook', 'post', 'broker'].some((id) => one(id)?.counts.waiting !== 0); n++)
    await web.roundTrip();
  takeStock();
  expect(told.length).toBeGreaterThan(120);
  for (const [receiver, ids] of Object.entries(arrived))
    expect({ receiver, missing: told.filter((id) => !ids.has(id)) }).toEqual({ receiver, missing: [] });
  // Only what was told, so that copies bear the same ids; and copies there were.
  for (const ids of Object.values(arrived))
    expect([...ids.keys()].filter((id) => !told.includes(id) && !id.startsWith('test:'))).toEqual([]);
  expect([...arrived.hook.values()].some((times) => times > 1)).toBe(true);
  // The peers here keep all they got, some 2 MB; the notifiers keep nothing.
  const [early = 0, late = 0] = heap;
  expect((late - early) / 1e6).toBeLessThan(6);
  await close();
}, 120_000);

test('five thousand notices that wait for a receiver lie on the disk and not in memory', async () => {
  const web = await startWeb();
  await web.close();
  const { notifiers, judged, one } = startTelling(webhook(web.url));
  const tell = (from: number, to: number): void =>
    // Some kilobytes each, so that holding them would show.
    notifiers.tell(
      Array.from({ length: to - from }, (_, n) =>
        notice(from + n, { text: `${from + n} ${'x'.repeat(3000)}` }),
      ),
    );
  tell(0, 250);
  await judged.next();
  const early = heapBytes();
  for (let n = 250; n < 5000; n += 250) tell(n, n + 250);
  const late = heapBytes();
  expect(one('hook')?.counts.waiting).toBe(5000);
  // 4,750 notices of 3 kB are 14 MB.
  expect((late - early) / 1e6).toBeLessThan(3);
});
