process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { SpoolState, StationState } from '../../server/api/messages.ts';
import { answerOf } from '../../web/answer.ts';
import type { AnswerFacts } from '../../web/answer-facts.ts';
import { fromSnapshot } from '../../web/bench-model.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { plainText } from '../../web/pieces.ts';
import { castOf, spoolOf as chosenSpool } from '../../web/stations.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';
import { dryingOf, NEVER, spoolOf } from '../browser/invented-spool.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const quiet = (station: StationState): StationState => ({
  ...station,
  quiet: true,
  heardMs: NOW_MS - 371_000,
});

function answer(
  stations: readonly StationState[],
  spools: readonly SpoolState[] = [spoolOf()],
  facts: Partial<AnswerFacts> & { spoolId?: string } = {},
) {
  const { spoolId, ...more } = facts;
  const bench = fromSnapshot({
    type: 'snapshot',
    sequence: 1,
    ...benchOf([...stations], { spools: [...spools] }),
  });
  const chosen = { boxId: null, chamberId: null, spoolId: spoolId ?? null };
  const cast = castOf(bench.stations, chosen, bench.spools);
  const { heading, say, tell, aside } = answerOf({
    connection: 'live',
    bench,
    cast,
    spool: chosenSpool(bench.spools, cast, chosen),
    nowMs: NOW_MS,
    lostSinceMs: null,
    format: createFormat(DEFAULT_PREFERENCES),
    ...more,
  });
  if (say) expect(plainText(say)).toBe(heading);
  return { heading: plain(heading), tell: plain(plainText(tell)), aside };
}

const DRYING = 'Not yet. The gear spool is dry on average between 14:50 and 19:45.';

describe('the answer on a bench with a spool', () => {
  test('the spool leads, the chamber follows', () => {
    const { heading, tell } = answer([BOX, RIG, ROOM, CABINET]);
    expect(heading).toBe(DRYING);
    expect(tell).toMatch(/^It is at 0\.34 % \(0\.28–0\.41\) and drying\..* The chamber is at 52\.8 °C\.$/);
  });

  test('without a room sensor the answer says what is assumed for it', () => {
    expect(answer([BOX, RIG]).tell).toContain('There is no room sensor: the room’s air is assumed');
    expect(answer([BOX, ROOM]).tell).not.toContain('room sensor');
  });

  test('its own box quiet beats never, and no time stands anywhere', () => {
    const { heading, tell, aside } = answer([quiet(BOX), RIG, ROOM], [spoolOf({ drying: dryingOf(NEVER) })]);
    expect(heading).toBe('Cannot tell: the drying box has been quiet for 6 minutes.');
    expect(tell).toBe(
      'When last heard, at 12:04, the gear spool was at 0.42 % (0.35–0.50) and drying. The other two stations are heard.',
    );
    expect(heading + tell).not.toMatch(/1[4-9]:\d\d/);
    expect(aside?.rows[0]).toEqual(['last line from the drying box', '12:04:31']);
  });

  test('a quiet chamber or room is told beneath: the spool rests on its own box', () => {
    const { heading, tell } = answer([BOX, quiet(RIG), quiet(ROOM)]);
    expect(heading).toBe(DRYING);
    expect(tell).toContain(
      'The chamber has been quiet for 6 minutes. The room has been quiet for 6 minutes.',
    );
    expect(tell).not.toContain('52.8');
  });

  test('a humidity sensor at fault in its box leads; one in the chamber does not', () => {
    const faulty = { ...BOX, values: { t: 80.1 }, faults: { rh: 'nack' } };
    expect(answer([faulty, RIG, ROOM]).heading).toBe('The humidity of the drying box is not heard.');
    const { heading, tell } = answer([BOX, { ...RIG, values: {}, faults: { t: 'stuck' } }, ROOM]);
    expect(heading).toBe(DRYING);
    expect(tell).toContain('The temperature of the chamber is not heard.');
  });

  test('no word from the server beats all', () => {
    const lost = { connection: 'lost', lostSinceMs: NOW_MS - 60_000 } as const;
    expect(answer([BOX, RIG], undefined, lost).heading).toContain('no word from lowdew since 12:09');
  });

  test('what would help stands beside never', () => {
    const { aside } = answer([BOX, ROOM], [spoolOf({ drying: dryingOf(NEVER) })]);
    expect(aside).toEqual({
      head: 'What would change that',
      rows: [],
      note: 'Never in this air: a drier room, desiccated air or a hotter box would help.',
    });
  });

  test('a box with a spool is chosen before one without; of two spools the one chosen by hand', () => {
    const attic = { ...BOX, id: 'attic' };
    const inAttic = spoolOf({ id: 'hinge', station: 'attic' });
    expect(answer([BOX, attic, ROOM], [inAttic]).heading).toContain('The hinge spool');
    const second = spoolOf({ id: 'hinge' });
    expect(answer([BOX, ROOM], [spoolOf(), second]).heading).toContain('The gear spool');
    expect(answer([BOX, ROOM], [spoolOf(), second], { spoolId: 'hinge' }).heading).toContain(
      'The hinge spool',
    );
  });

  test('a spool may dry in the chamber where there is no box', () => {
    expect(answer([RIG, ROOM], [spoolOf({ station: 'rig' })]).heading).toBe(DRYING);
  });

  test('a spool of which nothing is known yet leaves the answer to the air', () => {
    expect(answer([BOX, RIG, ROOM], [spoolOf({ drying: null })]).heading).toBe(
      'Three stations are heard; the drying box is at 80.1 °C.',
    );
  });
});
