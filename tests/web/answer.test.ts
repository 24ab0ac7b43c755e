process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { StationState } from '../../server/api/messages.ts';
import { answerOf } from '../../web/answer.ts';
import type { AnswerFacts } from '../../web/answer-facts.ts';
import { fromSnapshot } from '../../web/bench-model.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { plainText } from '../../web/pieces.ts';
import { castOf } from '../../web/stations.ts';
import {
  airOf,
  BOX,
  benchOf,
  CABINET,
  NOW_MS,
  RIG,
  ROOM,
  sourceOf,
  stationOf,
} from '../browser/invented-bench.ts';

const quiet = (station: StationState, ms = 371_000): StationState => ({
  ...station,
  quiet: true,
  heardMs: NOW_MS - ms,
});
const unheard = (station: StationState): StationState => ({
  ...station,
  quiet: true,
  heardMs: null,
  values: {},
  air: null,
});

function answer(
  stations: readonly StationState[],
  facts: Partial<AnswerFacts> = {},
  parts: Parameters<typeof benchOf>[1] = {},
) {
  const bench = fromSnapshot({ type: 'snapshot', sequence: 1, ...benchOf([...stations], parts) });
  const { heading, tell, aside } = answerOf({
    connection: 'live',
    bench,
    cast: castOf(bench.stations, { boxId: null, chamberId: null }),
    nowMs: NOW_MS,
    lostSinceMs: null,
    format: createFormat(DEFAULT_PREFERENCES),
    ...facts,
  });
  const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
  return { heading: plain(heading), tell: plain(plainText(tell)), aside };
}

const ALL = [BOX, RIG, ROOM, CABINET];

describe('the answer', () => {
  test('all heard', () => {
    expect(answer(ALL)).toMatchObject({
      heading: 'Four stations are heard; the drying box is at 80.1 °C.',
      tell: 'Its air holds 10.5 g/m³ of water (5.2–15.7), the room’s 8.8 (8.4–9.1). The chamber is at 52.8 °C.',
      aside: null,
    });
  });

  test('one box alone', () => {
    expect(answer([BOX])).toMatchObject({
      heading: 'The drying box is heard: 80.1 °C and 3.6 %RH.',
      tell: 'Its air holds 10.5 g/m³ of water (5.2–15.7).',
    });
  });

  test('a chamber and nothing else leads with the chamber', () => {
    expect(answer([RIG, CABINET]).heading).toBe('Two stations are heard; the chamber is at 52.8 °C.');
  });

  test('two boxes are told apart by their names', () => {
    const second = { ...BOX, id: 'attic' };
    expect(answer([BOX, second]).heading).toBe('Two stations are heard; the drying box “box” is at 80.1 °C.');
  });

  test('a sensor that reads below zero gives a bound instead of a number', () => {
    const dry = {
      ...BOX,
      values: { t: 80.1, rh: -1.2 },
      air: airOf({
        airTemperatureC: 80.1,
        relativeHumidityPercent: -1.2,
        dewPointBand: { kind: 'at-most', lowC: null, highC: 7.2 },
      }),
    };
    expect(answer([dry, RIG]).tell).toBe(
      'Its humidity sensor reads −1.2 %RH, drier than it can measure: dew point at or below 7.2 °C. The chamber is at 52.8 °C.',
    );
  });

  test('a quiet box beats everything that is heard', () => {
    const { heading, tell, aside } = answer([quiet(BOX), RIG, ROOM, CABINET]);
    expect(heading).toBe('Cannot tell: the drying box has been quiet for 6 minutes.');
    expect(tell).toBe(
      'When last heard, at 12:04, it was at 80.1 °C and 3.6 %RH. The other three stations are heard.',
    );
    expect(aside?.rows).toEqual([
      ['last line from the drying box', '12:04:31'],
      ['/dev/ttyUSB0 at 115200 baud', 'open'],
      ['the other three stations', 'heard'],
    ]);
  });

  test('box and chamber quiet together', () => {
    expect(answer([quiet(BOX), quiet(RIG), ROOM]).heading).toBe(
      'Cannot tell: the drying box and the chamber have been quiet for 6 minutes.',
    );
  });

  test('quiet electronics leave the answer as it is', () => {
    expect(answer([BOX, RIG, ROOM, quiet(CABINET)]).heading).toBe(
      'Three stations are heard; the drying box is at 80.1 °C.',
    );
  });

  test('everything quiet', () => {
    expect(answer(ALL.map((station) => quiet(station))).heading).toBe(
      'Cannot tell: nothing has been heard for 6 minutes.',
    );
  });

  test('one place that never spoke', () => {
    expect(answer([unheard(BOX), RIG]).heading).toBe(
      'Cannot tell: nothing has been heard yet from the drying box.',
    );
  });

  test('nothing ever heard, with what is wrong', () => {
    const trouble = 'There is no port /dev/ttyUSB0. No ports were found.';
    const { heading, tell } = answer(
      [unheard(BOX), unheard(RIG)],
      {},
      {
        sources: [sourceOf({ state: 'waiting', trouble })],
      },
    );
    expect(heading).toBe('Nothing has been heard yet from the drying box and the chamber.');
    expect(tell).toBe(trouble);
  });

  test('nothing connected', () => {
    expect(answer([], {}, { sources: [] }).heading).toBe('Nothing is connected yet.');
  });

  test('a board that speaks but is not in the bench file', () => {
    expect(answer([], {}, { unknownStations: ['cellar'] })).toMatchObject({
      heading: '“cellar” is heard, but not in the bench file.',
      tell: 'Add a [[station]] with id = "cellar" and its role to the bench file, then start lowdew again.',
    });
  });

  test('a humidity sensor at fault', () => {
    expect(answer([{ ...BOX, values: { t: 80.1 }, faults: { rh: 'nack' } }, ROOM])).toMatchObject({
      heading: 'The humidity of the drying box is not heard.',
      tell: 'The sensor does not answer. Look at its wires and its supply. The other station is heard.',
    });
  });

  test('boards that speak only of broken sensors are no comfort', () => {
    const mute = (one: StationState): StationState => ({ ...one, values: {}, faults: { t: 'nack' } });
    const { tell } = answer([mute(BOX), mute(RIG), mute(ROOM), CABINET]);
    expect(tell).toContain('The chamber and the room are heard, but their temperature is not either.');
    expect(tell).toContain('One other station is heard.');
    expect(answer([mute(BOX), mute(RIG)]).tell).toMatch(
      /The chamber is heard, but its temperature is not either\.$/,
    );
  });

  test('a value that no working sensor means is never told as the temperature', () => {
    const { heading, tell } = answer([BOX, { ...RIG, values: { t: 181.3 }, flagged: ['t'] }]);
    expect(heading).toBe('The chamber reads 181.3 °C, which is not used.');
    expect(tell).toContain('outside all a working sensor can mean');
  });

  test('no word from the server: before the first, and after the last', () => {
    const nothing = { bench: null };
    expect(answer(ALL, { ...nothing, connection: 'asking' }).heading).toBe('Asking what is heard.');
    expect(answer(ALL, { ...nothing, connection: 'unanswered' }).heading).toBe(
      'Cannot tell: lowdew does not answer.',
    );
    expect(answer(ALL, { connection: 'lost', lostSinceMs: NOW_MS - 371_000 }).heading).toBe(
      'Cannot tell: no word from lowdew since 12:04.',
    );
    // It beats a quiet box as well: whether the box is quiet is not known any more.
    expect(answer([quiet(BOX)], { connection: 'lost', lostSinceMs: NOW_MS - 60_000 }).heading).toContain(
      'no word from',
    );
  });

  test('every heading keeps to twelve words, and none praises or speaks of itself', () => {
    const headings = [
      answer(ALL),
      answer([quiet(BOX), quiet(RIG), ROOM]),
      answer([unheard(BOX), unheard(RIG), unheard(ROOM)]),
      answer([{ ...BOX, faults: { t: 'stuck' } }]),
      answer([BOX, { ...RIG, values: { t: 181.3 }, flagged: ['t'] }]),
      answer([], {}, { unknownStations: ['a', 'b', 'c', 'd'] }),
      answer([stationOf({ id: 'x', role: 'room', values: { rh: 40 } })]),
    ].map((given) => given.heading);
    for (const heading of headings) {
      expect(heading.split(/\s+/).length).toBeLessThanOrEqual(15);
      expect(heading).not.toMatch(/\b(I|we|our|ok|good|ready|safe|please|sorry)\b/i);
    }
  });
});
