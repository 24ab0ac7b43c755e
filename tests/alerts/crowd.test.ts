import { expect, test } from 'vitest';
import { openBook } from '../../server/alerts/book.ts';
import { judgeAlerts } from '../../server/alerts/judge.ts';
import { alertViews } from '../../server/alerts/listing.ts';
import { createSay } from '../../server/alerts/say.ts';
import { createSetRules, USUAL_SETTINGS } from '../../server/alerts/settings.ts';
import { createWatches } from '../../server/alerts/subjects.ts';
import type { Notice } from '../../server/records.ts';
import { inventFacts, inventStation, START_MS } from './invented-facts.ts';

test('a thousand alarms at once, a cable each: a few words and one sum, pressing ones named first; the list has them all', () => {
  const stations = Array.from({ length: 1000 }, (_, i) =>
    inventStation(`s${i}`, i % 100 === 99 ? 'electronics' : 'room', {
      source: `usb${i}`,
      quiet: i % 100 !== 99,
      ...(i % 100 === 99
        ? {
            ceiling: {
              kind: 'known',
              value: {
                outcome: 'passed',
                airC: 70,
                ceilingC: 45,
                reason: 'electronics',
                finalAirC: null,
                crossesAtMs: null,
              },
            },
          }
        : {}),
    }),
  );
  const facts = inventFacts({ stations });
  const book = openBook(null, START_MS);
  const watches = createWatches()(facts);
  const setRule = createSetRules(USUAL_SETTINGS);
  const told: Notice[] = [];
  let decided = 0;
  for (let s = 0; s <= 600; s += 10) {
    const nowMs = START_MS + 1000 * s;
    const judged = judgeAlerts(book, facts, watches, setRule, createSay(nowMs, 'UTC', stations), {
      nowMs,
      elapsedMs: s === 0 ? 0 : 10_000,
    });
    told.push(...judged.notices);
    decided += judged.decided.length;
  }
  expect(decided).toBe(1000);
  const sums = told.filter(({ rule }) => rule === 'many-at-once');
  const single = told.filter(({ rule }) => rule !== 'many-at-once');
  expect(single.filter(({ priority }) => priority === 'high')).toHaveLength(10);
  expect(single.length + sums.reduce((sum, { number }) => sum + (number?.value ?? 0), 0)).toBe(1000);
  expect(told.length).toBeLessThan(30);
  for (const { text } of sums) expect(text.length).toBeLessThan(1000);
  expect(alertViews(book, START_MS + 600_000)).toHaveLength(1000);
});
