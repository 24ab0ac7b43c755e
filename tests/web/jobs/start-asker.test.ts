import { beforeEach, describe, expect, test } from 'vitest';
import type { StartQuery } from '../../../server/api/messages-jobs.ts';
import type { Answer } from '../../../web/ask.ts';

type Answered = Answer<unknown>;

import {
  createStartAsker,
  LEAST_BETWEEN_MS,
  SETTLE_MS,
  type StartAsker,
  type StartKnown,
} from '../../../web/jobs/start-asker.ts';
import { CHANCES, findingOf } from '../../browser/invented-jobs.ts';
import { falseWorld } from '../false-world.ts';

interface Asked {
  readonly path: string;
  readonly calledOff: AbortSignal;
  answer(answered: Answered): Promise<void>;
}
let asked: Asked[];
let known: (StartKnown | null)[];
let world: ReturnType<typeof falseWorld>;
let asker: StartAsker;
/** Lets all that waits for an answer take it. */
const settle = () => new Promise<void>((resolve) => setImmediate(resolve));

beforeEach(() => {
  asked = [];
  known = [];
  world = falseWorld();
  asker = createStartAsker(
    {
      ask: (path, calledOff) =>
        new Promise((resolve) => {
          calledOff.addEventListener('abort', () => resolve({ ok: false, sentence: 'No answer.' }));
          asked.push({
            path,
            calledOff,
            answer: async (answered) => {
              resolve(answered as Answer<never>);
              await settle();
            },
          });
        }),
      after: world.after,
      nowMs: world.nowMs,
      benchMs: () => 42,
    },
    (answer) => known.push(answer),
  );
});

const job = (grams: number): StartQuery => ({ spool: 'gear', grams, hours: 7 });
const FINDING: Answered = { ok: true, value: findingOf() };

describe('the start check follows what is typed', () => {
  test('asks when the hand rests, the finding first and then the chances', async () => {
    asker.want(job(1), '');
    world.pass(SETTLE_MS - 1);
    asker.want(job(12), '');
    world.pass(SETTLE_MS - 1);
    expect(asked).toEqual([]);
    world.pass(1);
    expect(asked.map(({ path }) => path)).toEqual(['/api/start?spool=gear&grams=12&hours=7']);
    await asked[0]!.answer(FINDING);
    expect(known).toEqual([
      { query: job(12), askedMs: 42, finding: findingOf(), refusal: null, chances: null },
    ]);
    expect(asked[1]?.path).toBe('/api/start/chances?spool=gear&grams=12&hours=7');
    await asked[1]!.answer({ ok: true, value: CHANCES });
    expect(known.at(-1)?.chances).toEqual(CHANCES);
  });

  test('the newest question wins: an older one is called off, and its late answer not taken', async () => {
    asker.want(job(1), '');
    world.pass(SETTLE_MS);
    asker.want(job(12), '');
    expect(asked[0]!.calledOff.aborted).toBe(true);
    world.pass(SETTLE_MS);
    await asked[1]!.answer(FINDING);
    await asked[0]!.answer({ ok: true, value: findingOf({ outcome: 'start-now' }) });
    expect(known.map((one) => one?.query.grams)).toEqual([12]);
    // Chances of the older one do not follow either.
    expect(asked.map(({ path }) => path).filter((path) => path.includes('grams=1&'))).toHaveLength(1);
  });

  test('the same question is not asked twice, unless what it rests on has changed, and then not too often', async () => {
    asker.want(job(12), 'fit 1');
    world.pass(SETTLE_MS);
    await asked[0]!.answer(FINDING);
    await asked[1]!.answer({ ok: true, value: CHANCES });
    asker.want(job(12), 'fit 1');
    world.pass(60_000);
    expect(asked).toHaveLength(2);
    asker.want(job(12), 'fit 2');
    world.pass(SETTLE_MS);
    expect(asked).toHaveLength(3);
    asker.want(job(12), 'fit 3');
    world.pass(LEAST_BETWEEN_MS - SETTLE_MS);
    expect(asked).toHaveLength(3);
    world.pass(SETTLE_MS);
    expect(asked).toHaveLength(4);
  });

  test('a refusal is kept in the server’s words, and nothing more is asked', async () => {
    asker.want(job(12), '');
    world.pass(SETTLE_MS);
    await asked[0]!.answer({ ok: false, sentence: 'It is too early to say.' });
    expect(known.at(-1)).toMatchObject({ finding: null, refusal: 'It is too early to say.' });
    expect(asked).toHaveLength(1);
  });

  test('a job no longer whole is no question, and what was known of it goes', () => {
    asker.want(job(12), '');
    world.pass(SETTLE_MS);
    asker.want(null, '');
    expect(asked[0]!.calledOff.aborted).toBe(true);
    expect(known).toEqual([null]);
  });
});
