process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { Drying, SpoolState } from '../../server/api/messages.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { plainText } from '../../web/pieces.ts';
import { spoolAnswer, spoolLine } from '../../web/spool-answer.ts';
import { NOW_MS } from '../browser/invented-bench.ts';
import { CALLED_DRY, clockMs, dryingOf, NEVER, quantiles, spoolOf } from '../browser/invented-spool.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const NO_TIMES = { p05: null, p50: null, p95: null };

function say(drying: Partial<Drying>, parts: Partial<SpoolState> = {}, nowMs = NOW_MS) {
  const facts = {
    spool: { ...spoolOf(parts), drying: dryingOf(drying) },
    where: 'the drying box',
    nowMs,
    format: createFormat(DEFAULT_PREFERENCES),
  };
  const { say: heading, tell, help } = spoolAnswer(facts);
  return {
    heading: plain(plainText(heading)),
    tell: plain(plainText(tell)),
    help,
    line: plain(spoolLine(facts)),
    marks: heading.flatMap((piece) => (typeof piece === 'object' && 'key' in piece ? [piece.mark] : [])),
  };
}

describe('while it dries', () => {
  test('a range wider than half the wait stands in place of its median', () => {
    // 12:10 to 16:40 are 4 h 30 min; 14:50 to 19:50 are 5 h. 19:50 is more than 6 h off: to a quarter of an hour.
    expect(say({})).toMatchObject({
      heading: 'Not yet. The gear spool is dry on average between 14:50 and 19:45.',
      tell: 'It is at 0.34 % (0.28–0.41) and drying. Its wettest turn is under 0.20 % between 16:00 and 22:15. The outer 20 g can be counted on to be under 0.20 %.',
      line: 'gear: drying, 0.34 % (0.28–0.41), on average dry 14:50–19:45',
      marks: ['ring'],
      help: null,
    });
  });

  test('the wettest turn’s own time is said as near as it is known', () => {
    const dryThroughAtMs = { p05: clockMs(17, 2), p50: clockMs(18, 1), p95: clockMs(19, 1) };
    expect(say({ dryThroughAtMs }).tell).toContain(' Its wettest turn is under 0.20 % at about 18:00.');
    const beyond = {
      dryThroughAtMs: NO_TIMES,
      dryThroughAtReason: { p05: 'beyond', p50: 'beyond', p95: 'beyond' },
    };
    expect(say(beyond as Parameters<typeof say>[0]).tell).not.toContain('wettest');
  });

  test('a narrower one stands behind it', () => {
    const dryAtMs = { p05: clockMs(15, 41), p50: clockMs(16, 42), p95: clockMs(17, 48) };
    expect(say({ dryAtMs }).heading).toBe(
      'Not yet. The gear spool is dry on average at about 16:40 (15:40–17:50).',
    );
  });

  test('times are rounded by how far off they are, with the weekday after midnight', () => {
    const day = 24 * 3_600_000;
    const dryAtMs = {
      p05: clockMs(23, 8),
      p50: clockMs(3, 52) + day,
      p95: clockMs(13, 40) + day,
    };
    expect(say({ dryAtMs }).heading).toBe(
      'Not yet. The gear spool is dry on average between 23:15 and Thu 14:00.',
    );
  });

  test('an open end is said, whether never or only too far off', () => {
    const dryAtMs = { p05: clockMs(14, 50), p50: clockMs(16, 40), p95: null };
    expect(say({ dryAtMs, dryAtReason: { p95: 'never' } })).toMatchObject({
      heading: 'Not yet. The gear spool is dry on average after 14:50, or never.',
      line: 'gear: drying, 0.34 % (0.28–0.41), on average dry after 14:50, or never',
    });
    expect(say({ dryAtMs, dryAtReason: { p95: 'beyond' } }).heading).toBe(
      'Not yet. The gear spool is dry on average after 14:50, perhaps in over a week.',
    );
    expect(
      say({ dryAtMs: NO_TIMES, dryAtReason: { p05: 'beyond', p50: 'beyond', p95: 'beyond' } }).heading,
    ).toBe('Not yet. The gear spool needs more than a week.');
  });

  test('a range that has begun is not yet sure, and how likely it is is said', () => {
    const dryAtMs = { p05: clockMs(11, 0), p50: clockMs(12, 40), p95: clockMs(14, 3) };
    expect(say({ dryAtMs, pDry: 0.34 })).toMatchObject({
      heading: 'Not yet sure. The gear spool is dry on average by 14:05.',
      tell: expect.stringContaining('In three of ten likely cases it is under 0.20 % already.') as string,
    });
    expect(say({ dryAtMs, pDry: 0.12 }).heading).toBe('Not yet. The gear spool is dry on average by 14:05.');
    expect(say({ dryAtMs: { ...dryAtMs, p50: clockMs(12, 0) }, pDry: 0.7 }).heading).toBe(
      'Likely, not yet sure. The gear spool is dry on average by 14:05.',
    );
  });

  test('a range that has passed is not a time to come: very likely, not yet sure', () => {
    const dryAtMs = { p05: clockMs(8, 0), p50: clockMs(9, 0), p95: clockMs(10, 0) };
    expect(say({ dryAtMs, pDry: 0.96 })).toMatchObject({
      heading: 'Very likely, not yet sure: the gear spool averages under 0.20 %.',
      tell: expect.stringContaining(
        'It is called dry when nine in ten has held for an hour and a half.',
      ) as string,
    });
  });

  test('levelling out says what it comes near to', () => {
    expect(say({ state: 'levelling' }).tell).toContain(
      'It is at 0.34 % (0.28–0.41) and hardly falling any more, near the 0.10 % that this air allows.',
    );
  });

  test('above one per cent, one decimal', () => {
    expect(say({ moistureWtPercent: quantiles(0.994, 1.26, 2.04) }).tell).toContain(
      'It is at 1.3 % (0.99–2.0) and drying.',
    );
  });
});

describe('what comes before a time', () => {
  test('never beats not yet', () => {
    expect(say(NEVER)).toMatchObject({
      heading: 'This air will not dry the gear spool to 0.20 %.',
      tell: 'It is at 0.42 % (0.35–0.50) and stops near 0.24 % (0.21–0.29) however long it stays in.',
      help: 'Never in this air: a drier room, desiccated air or a hotter box would help.',
      line: 'gear: drying, 0.42 % (0.35–0.50), not to 0.20 % in this air',
      marks: [],
    });
    // Eight of ten are enough, though some would get there.
    expect(say({ pNever: 0.8 }).heading).toContain('will not dry');
  });

  test('six of ten is may never', () => {
    const { heading, tell } = say({
      ...NEVER,
      dryAtMs: { p05: clockMs(14, 50), p50: null, p95: null },
      dryAtReason: { p50: 'never', p95: 'never' },
      pNever: 0.6,
    });
    expect(heading).toBe('This air may never dry the gear spool to 0.20 %.');
    expect(tell).toContain('In six of ten likely cases it never gets there.');
  });

  test('too early, with and without a first range', () => {
    const noRun = { p05: 'no-run', p50: 'no-run', p95: 'no-run' } as const;
    const early = {
      state: 'warming' as const,
      runStartMs: clockMs(12, 2),
      moistureWtPercent: quantiles(0.5, 1.2, 2.3),
    };
    expect(say({ ...early, dryAtMs: NO_TIMES, dryAtReason: noRun })).toMatchObject({
      heading: 'Too early to say when it is dry.',
      tell: 'The gear spool is warming through, at 1.2 % (0.50–2.3). The run began 8 minutes ago; a first range comes at about 12:10.',
    });
    const known = say(early);
    expect(known.heading).toBe('Too early to say when it is dry.');
    expect(known.tell).toContain('; a first range for dry is 14:50–19:45.');
  });
});

describe('when it is called dry, kept, or away', () => {
  test('dry through', () => {
    expect(say(CALLED_DRY)).toMatchObject({
      heading: 'The gear spool is dry, every turn of it.',
      tell: 'The gear spool is at 0.15 % (0.11–0.19), called under 0.20 % since 11:20. Its wettest turn is at 0.18 % (0.13–0.23).',
      line: 'gear: dry, 0.15 % (0.11–0.19)',
    });
  });

  test('dry on average only', () => {
    expect(say({ ...CALLED_DRY, readyOuterG: quantiles(628, 790, 940) })).toMatchObject({
      heading: 'Dry on average; inner turns not yet sure.',
      tell: 'The gear spool is at 0.15 % (0.11–0.19), called under 0.20 % since 11:20. Its wettest turn is at 0.18 % (0.13–0.23), under the limit at about 18:30. The outer 620 g can be counted on to be under 0.20 %.',
    });
  });

  test('kept without heat', () => {
    expect(say({ state: 'holding', pDry: 0 })).toMatchObject({
      heading: 'Kept, not dried: the gear spool is at 0.34 %.',
      tell: 'Nine in ten: 0.28–0.41 %. The printing limit (common practice, no source) is 0.20 %. Outer turns follow the air in days, inner ones in weeks.',
    });
    expect(say({ state: 'holding', pDry: 0.95 }, { limitKind: 'own' })).toMatchObject({
      heading: 'Kept dry: the gear spool is under 0.20 %.',
      tell: expect.stringContaining('The limit you set is 0.20 %.') as string,
    });
  });

  test('taking up water, and when it passes the limit', () => {
    const forecast = [0, 1, 2, 3].map((hours) => {
      const w = 0.1 * 2 ** (hours / 2);
      return { atMs: NOW_MS + hours * 3_600_000, p05: 0.8 * w, p50: w, p95: 1.2 * w };
    });
    // 0.1·2^(h/2) meets 0.2 at h = 2: at 14:10:42.
    expect(
      say({ state: 'regaining', moistureWtPercent: quantiles(0.08, 0.1, 0.12), forecast }),
    ).toMatchObject({
      heading: 'The gear spool is taking up water again.',
      tell: 'It is at 0.10 % (0.08–0.12). It passes 0.20 % at about 14:10.',
    });
    expect(say({ state: 'regaining' }).tell).toBe('It is at 0.34 % (0.28–0.41). It is over 0.20 %.');
  });

  test('out of the box, and not known', () => {
    expect(say({ state: 'idle' })).toMatchObject({
      heading: 'The gear spool is out of the drying box.',
      tell: 'When last in, it was at 0.34 % (0.28–0.41).',
    });
    expect(say({ state: 'unknown' }).heading).toBe('Cannot tell how wet the gear spool is.');
  });
});

test('no heading is long, praises, or speaks of itself', () => {
  const states = [
    'idle',
    'warming',
    'drying',
    'levelling',
    'dry',
    'regaining',
    'holding',
    'unknown',
  ] as const;
  for (const state of states)
    for (const more of [{}, NEVER, { ...CALLED_DRY, state }]) {
      const { heading } = say({ ...more, state });
      expect(
        heading
          .replace(/\(.*\)/, '')
          .trim()
          .split(/\s+/).length,
      ).toBeLessThanOrEqual(13);
      expect(heading).not.toMatch(/\b(I|we|our|ok|good|ready|safe|please|sorry)\b/i);
      expect(heading).toMatch(/\.$/);
    }
});

test('a name that says what it is stands alone', () => {
  expect(say({}, { id: 'gear stock' }).heading).toContain('The gear stock is dry on average between');
});
