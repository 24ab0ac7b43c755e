process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { Ceiling, ChamberState } from '../../server/api/messages-chamber.ts';
import { ceilingWords } from '../../web/ceiling-words.ts';
import { chamberWhy } from '../../web/chamber-why.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { BOX, NOW_MS } from '../browser/invented-bench.ts';
import { COLD, COOLING, ceilingOf, chamberOf, rigAt, STEADY } from '../browser/invented-chamber.ts';
import { clockMs } from '../browser/invented-spool.ts';

const format = createFormat(DEFAULT_PREFERENCES);
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const said = (parts: Partial<Ceiling>) => ceilingWords(rigAt(52, parts), NOW_MS, format).map(plain);

describe('a station’s ceiling in its row', () => {
  test.each([
    [{}, 'Below its ceiling of 65 °C (PETG part).'],
    [{ outcome: 'near' }, 'Near its ceiling of 65 °C (PETG part).'],
    [{ outcome: 'passed' }, 'Has passed its ceiling of 65 °C (PETG part).'],
    [
      { outcome: 'near-ahead', crossesAtMs: clockMs(13, 10) },
      'May come near its ceiling of 65 °C (PETG part), passed at about 13:10.',
    ],
    [
      { outcome: 'cannot-tell', ceilingC: null, whose: null, reason: 'nothing listed inside' },
      'Ceiling not known: nothing that stands inside is listed.',
    ],
    [
      { outcome: 'cannot-tell', reason: 'no air temperature' },
      'Ceiling: no air temperature to hold against it.',
    ],
  ] as const)('%#: %j', (parts, text) => {
    expect(said(parts)).toEqual([text]);
  });

  test('a dryer says whether hotter may be thought of', () => {
    const hotter = (outcome: NonNullable<Ceiling['hotter']>['outcome'], toC: number | null = null) =>
      said({ hotter: { outcome, toC, reason: '' } })[1];
    expect(hotter('may-be-hotter', 90)).toBe('Material and reel would bear drying up to 90 °C.');
    expect(hotter('at-the-limit')).toContain('not advised');
    expect(hotter('reel-unknown')).toBe('Hotter is not advised: the reel is of unknown kind.');
    expect(hotter('material-unknown')).toBe('Hotter is not advised: the material is not known.');
    expect(hotter('cannot-tell')).toBeUndefined();
  });

  test('nothing of a place that is quiet, or has none', () => {
    expect(
      ceilingWords({ ...BOX, ceiling: ceilingOf({ outcome: 'near' }), quiet: true }, NOW_MS, format),
    ).toEqual([]);
    expect(ceilingWords({ ...BOX, ceiling: null }, NOW_MS, format)).toEqual([]);
  });
});

describe('why a chamber is called what it is', () => {
  const why = (parts: Partial<ChamberState> = {}) => {
    const { short, near, none } = chamberWhy(chamberOf(parts), format);
    return { short: plain(short), near: near.map(plain), none };
  };

  test('where it ends, how sure, how fast it moves, and how far the frame is', () => {
    expect(why()).toMatchObject({
      short: 'It ends at 57.4 °C (55.9–58.8) if all stays as it is.',
      near: [
        'It ends at 57.4 °C (55.9–58.8) if all stays as it is.',
        'In hardly any likely case it is within 1.0 °C of where it ends.',
        'In the last 20 min it moved by 0.80 °C per 10 min; less than 0.5 °C counts as steady.',
        'The frame is 9.5 °C (7.0 °C to 12.0 °C) from where it ends.',
      ],
    });
  });

  test('a note stands where the rest is folded away', () => {
    const notes = ['The air is steady; the frame still warms by about 8 °C.'];
    expect(why({ ...STEADY, notes }).short).toBe(notes[0]);
  });

  test('a cold chamber, and one that has only begun', () => {
    expect(why(COLD)).toMatchObject({ near: [], none: 'No heat-up goes on.' });
    expect(why({ finalAirC: null, frameLagC: null, driftCPer10Min: null }).none).toContain('twelve minutes');
  });

  test('while it cools nothing is said of steady', () => {
    expect(why(COOLING).near.join(' ')).not.toContain('steady');
  });
});
