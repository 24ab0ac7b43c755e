process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { SpoolState, StationState } from '../../server/api/messages.ts';
import type { Alert } from '../../server/api/messages-alerts.ts';
import type { ChamberState } from '../../server/api/messages-chamber.ts';
import { answerOf } from '../../web/answer.ts';
import type { AnswerFacts } from '../../web/answer-facts.ts';
import { fromSnapshot } from '../../web/bench-model.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { plainText } from '../../web/pieces.ts';
import { castOf, spoolOf as chosenSpool } from '../../web/stations.ts';
import { alertOf } from '../browser/invented-alerts.ts';
import { BOX, benchOf, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';
import {
  COLD,
  COOLING,
  ceilingOf,
  chamberOf,
  excursion,
  jobOf,
  NO_RUN,
  NO_TIMES,
  rigAt,
  STEADY,
} from '../browser/invented-chamber.ts';
import { CALLED_DRY, clockMs, dryingOf, NEVER, quantiles, spoolOf } from '../browser/invented-spool.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const quiet = (station: StationState): StationState => ({
  ...station,
  quiet: true,
  heardMs: NOW_MS - 371_000,
});

interface Case {
  stations?: readonly StationState[];
  spool?: SpoolState | null;
  chamber?: Partial<ChamberState> | null;
  alerts?: readonly Alert[];
  facts?: Partial<AnswerFacts>;
}

function answer({
  stations = [BOX, RIG, ROOM],
  spool = spoolOf(),
  chamber = {},
  alerts = [],
  facts = {},
}: Case) {
  const chambers = chamber === null ? [] : [chamberOf(chamber)];
  const spools = spool === null ? [] : [spool];
  const bench = fromSnapshot({
    type: 'snapshot',
    sequence: 1,
    ...benchOf([...stations], { spools, chambers, alerts: [...alerts] }),
  });
  const chosen = { boxId: null, chamberId: null };
  const cast = castOf(bench.stations, chosen, bench.spools);
  const { heading, say, tell, aside } = answerOf({
    connection: 'live',
    bench,
    cast,
    spool: chosenSpool(bench.spools, cast, chosen),
    chamber: chambers[0] ?? null,
    nowMs: NOW_MS,
    lostSinceMs: null,
    format: createFormat(DEFAULT_PREFERENCES),
    ...facts,
  });
  const marks = [...(say ?? []), ...tell].flatMap((piece) =>
    typeof piece === 'object' && 'key' in piece ? [piece.mark] : [],
  );
  const said = { heading: plain(heading), tell: plain(plainText(tell)), marks, aside };
  everySaid.push(said.heading);
  return said;
}

const everySaid: string[] = [];
const DRY = spoolOf({ drying: dryingOf(CALLED_DRY) });
const DRY_OUTSIDE = spoolOf({
  drying: dryingOf({ ...CALLED_DRY, readyOuterG: quantiles(388, 700, 940) }),
});

describe('spool and chamber in one answer', () => {
  test('both on their way: each time carries the mark it has on the ruler', () => {
    const { heading, tell, marks } = answer({});
    expect(heading).toBe('Not yet. The gear spool is dry on average between 14:50 and 19:45.');
    expect(tell).toContain('The chamber is at 52.8 °C and steady from about 14:25 (13:50–14:55).');
    expect(marks).toEqual(['ring', 'rails']);
  });

  test('a range wider than half the wait stands in place of its median', () => {
    const wide = { steadyAtMs: quantiles(clockMs(13, 10), clockMs(14, 25), clockMs(15, 40)) };
    expect(answer({ chamber: wide }).tell).toContain('52.8 °C, steady between 13:10 and 15:40.');
    const begun = { steadyAtMs: quantiles(clockMs(12, 0), clockMs(12, 20), clockMs(13, 0)) };
    expect(answer({ chamber: begun }).tell).toContain('52.8 °C, steady by 13:00.');
  });

  test('steady, but the spool wet', () => {
    const { heading, tell } = answer({ chamber: STEADY });
    expect(heading).toMatch(/^Not yet\. The gear spool/);
    expect(tell).toContain('The chamber has been steady since 11:55.');
  });

  test('steady, and the outer turns can be counted on', () => {
    const spool = spoolOf({ drying: dryingOf({ readyOuterG: quantiles(183, 240, 400) }) });
    const { heading, tell } = answer({ spool, chamber: STEADY });
    expect(heading).toBe('The outer 180 g can be printed now.');
    expect(tell).toBe(
      'Nine in ten that they are under 0.20 %, and the chamber has been steady since 11:55. Not yet. The gear spool is dry on average between 14:50 and 19:45.',
    );
    // The same grams while the chamber still climbs: nothing can be printed yet.
    expect(answer({ spool }).heading).toMatch(/^Not yet/);
  });

  test('in air that never dries it, never comes before what can be printed', () => {
    const spool = spoolOf({ drying: dryingOf({ ...NEVER, readyOuterG: quantiles(183, 240, 400) }) });
    expect(answer({ spool, chamber: STEADY }).heading).toBe(
      'This air will not dry the gear spool to 0.20 %.',
    );
  });

  test('both there', () => {
    const { heading, tell } = answer({ spool: DRY, chamber: STEADY });
    expect(heading).toBe('All 940 g can be printed now.');
    expect(tell).toBe(
      'Nine in ten that every turn of the gear spool is under 0.20 %, and the chamber has been steady since 11:55.',
    );
  });

  test('the frame of a steady chamber may be behind, and it is said', () => {
    const notes = ['The air is steady; the frame still warms by about 8 °C.'];
    expect(answer({ spool: DRY, chamber: { ...STEADY, notes } }).tell).toContain(notes[0]);
  });

  test('dry on average but inner turns unsure', () => {
    expect(answer({ spool: DRY_OUTSIDE }).heading).toBe('Dry on average; inner turns not yet sure.');
    const { heading, tell } = answer({ spool: DRY_OUTSIDE, chamber: STEADY });
    expect(heading).toBe('The outer 380 g can be printed now.');
    expect(tell).toContain('Dry on average; inner turns not yet sure.');
  });

  test.each([
    [
      { steadyAtMs: quantiles(clockMs(12, 45), clockMs(12, 52), clockMs(13, 0)) },
      'the chamber needs about 40 minutes more.',
    ],
    [
      { steadyAtMs: quantiles(clockMs(15, 0), clockMs(15, 40), clockMs(16, 20)) },
      'the chamber needs about four hours more.',
    ],
    [
      { steadyAtMs: quantiles(clockMs(13, 10), clockMs(14, 25), clockMs(15, 40)) },
      'the chamber is steady between 13:10 and 15:40.',
    ],
    [{ finalAirC: null, steadyAtMs: NO_TIMES, steadyAtReason: NO_RUN }, 'too early to say of the chamber.'],
    [COLD, 'the chamber is cold.'],
    [COOLING, 'the chamber is cooling.'],
  ])('dry, only the chamber waits: %#', (chamber, end) => {
    expect(answer({ spool: DRY, chamber }).heading).toBe(`The gear spool is dry; ${end}`);
  });

  test('a cold chamber is not heated, and a disturbed one is said to be', () => {
    expect(answer({ stations: [BOX, rigAt(22.4), ROOM], chamber: COLD }).tell).toContain(
      'The chamber is at 22.4 °C, not heated.',
    );
    expect(answer({ chamber: { state: 'disturbed' } }).tell).toContain(
      'The chamber is at 52.8 °C after its air was disturbed and steady from about 14:25',
    );
  });

  test('a kept spool that is under its limit can be printed where the chamber is steady', () => {
    const kept = spoolOf({
      drying: dryingOf({ ...CALLED_DRY, state: 'holding', runStartMs: null, pDry: 0.95 }),
    });
    expect(answer({ spool: kept, chamber: STEADY }).heading).toBe('All 940 g can be printed now.');
    const damp = spoolOf({ drying: dryingOf({ state: 'holding', runStartMs: null, pDry: 0.2 }) });
    expect(answer({ spool: damp, chamber: STEADY }).heading).toBe(
      'Kept, not dried: the gear spool is at 0.34 %.',
    );
  });

  test('a box that has lost its heat', () => {
    const spool = spoolOf({ drying: dryingOf({ state: 'regaining' }) });
    const { heading, tell } = answer({
      stations: [{ ...BOX, values: { t: 31.2, rh: 30 } }, ROOM],
      spool,
      chamber: null,
    });
    expect(heading).toBe('The drying box has lost its heat.');
    expect(tell).toBe(
      'It is at 31.2 °C: look at its heater and its timer. The gear spool is at 0.34 % (0.28–0.41) and takes up water again.',
    );
    // A spool that was called dry and lies in cool air is no alarm of the heater.
    const done = spoolOf({ drying: dryingOf({ ...CALLED_DRY, state: 'regaining' }) });
    expect(answer({ spool: done }).heading).toBe('The gear spool is taking up water again.');
  });
});

describe('a chamber alone', () => {
  const alone = (chamber: Partial<ChamberState>, celsius = 52.8) =>
    answer({ stations: [rigAt(celsius), ROOM], spool: null, chamber });

  test('climbing, steady, too early, disturbed', () => {
    expect(alone({})).toMatchObject({
      heading: 'Not yet. The chamber is steady at about 14:25 (13:50–14:55).',
      tell: 'It is at 52.8 °C and ends near 57.4 °C (55.9–58.8).',
    });
    expect(alone(STEADY, 57.2)).toMatchObject({
      heading: 'The chamber has been steady since 11:55.',
      tell: 'It is at 57.2 °C, within 1.0 °C of the 57.4 °C that it ends at.',
    });
    const early = {
      finalAirC: null,
      steadyAtMs: NO_TIMES,
      steadyAtReason: NO_RUN,
      heatOnMs: NOW_MS - 480_000,
    };
    expect(alone(early, 41)).toMatchObject({
      heading: 'Too early to say when the chamber is steady.',
      tell: 'It has been heated for 8 minutes and is at 41.0 °C; a first range comes at about 12:20.',
    });
    expect(alone({ state: 'disturbed' }).tell).toContain('A door, fan or vent has moved its air');
  });

  test('cooling, and cool enough', () => {
    expect(alone(COOLING)).toMatchObject({
      heading: 'The chamber is cooling.',
      tell: 'It is at 52.8 °C. It is cool enough to open at about 12:55 (12:45–13:05).',
    });
    const open = (reason: 'never' | 'beyond') =>
      alone({
        ...COOLING,
        openAtMs: { p05: clockMs(12, 45), p50: clockMs(13, 55), p95: null },
        openAtReason: { p95: reason },
      }).tell;
    expect(open('never')).toBe('It is at 52.8 °C. It is cool enough to open after 12:45, or never.');
    expect(open('beyond')).toContain('cool enough to open after 12:45, perhaps in over a day.');
    const opened = { ...COOLING, openAtMs: quantiles(clockMs(12, 0), clockMs(12, 0), clockMs(12, 0)) };
    expect(alone(opened, 38.2).heading).toBe('The chamber is cool enough to open.');
  });

  test('cold: the air is told, as of any place', () => {
    expect(alone(COLD, 22.4).heading).toBe('Two stations are heard; the chamber is at 22.4 °C.');
  });
});

describe('what is too hot', () => {
  test('a ceiling that is passed beats even quiet', () => {
    const { heading, tell } = answer({ stations: [quiet(BOX), rigAt(66.2, { outcome: 'passed' }), ROOM] });
    expect(heading).toBe('The chamber has passed its ceiling of 65 °C.');
    expect(tell).toBe(
      'It is at 66.2 °C (ceiling of: PETG part). Turn the heat down. The drying box has been quiet for 6 minutes.',
    );
  });

  test('of a place that is quiet nothing is claimed, its ceiling least of all', () => {
    expect(
      answer({ stations: [BOX, quiet(rigAt(66.2, { outcome: 'passed' })), ROOM] }).heading,
    ).not.toContain('ceiling');
  });

  test('a box too hot for its filament', () => {
    const box = { ...BOX, ceiling: ceilingOf({ outcome: 'passed', ceilingC: 75, whose: 'Polyamide 6' }) };
    expect(answer({ stations: [box, RIG, ROOM] }).heading).toBe(
      'The drying box has passed its ceiling of 75 °C.',
    );
  });

  test('ahead: when, for whose sake, and how much lower it has to end', () => {
    const rig = rigAt(55.2, { outcome: 'near-ahead', ceilingC: 57, crossesAtMs: clockMs(13, 10) });
    const { heading, tell } = answer({ stations: [BOX, rig, ROOM] });
    expect(heading).toBe('The chamber will pass its ceiling at about 13:10.');
    // It ends at 58.8 °C at most: 1.8 °C above, rounded up.
    expect(tell).toBe(
      'That is 57 °C (PETG part); it is at 55.2 °C and rising. Turn the heat down until it ends at least 2 °C lower.',
    );
    expect(answer({ stations: [quiet(BOX), rig, ROOM] }).heading).toMatch(/^Cannot tell/);
  });

  test('near, or perhaps so: told beneath', () => {
    expect(answer({ stations: [BOX, rigAt(61, { outcome: 'near' }), ROOM] }).tell).toContain(
      'The chamber is near its ceiling of 65 °C (PETG part).',
    );
    expect(answer({ stations: [BOX, rigAt(50, { outcome: 'near-ahead' }), ROOM] }).tell).toContain(
      'The chamber may come near its ceiling of 65 °C (PETG part).',
    );
    const alarm = alertOf({ rule: 'ceiling-near', station: 'rig', state: 'active' });
    const stations = [BOX, rigAt(61, { outcome: 'near' }), ROOM];
    expect(answer({ stations, alerts: [alarm] }).tell).not.toContain('ceiling');
    expect(answer({ stations, alerts: [{ ...alarm, state: 'returned' }] }).tell).toContain(
      'near its ceiling',
    );
    const near = { ...BOX, ceiling: ceilingOf({ outcome: 'near' }) };
    expect(answer({ stations: [near, ROOM], chamber: null }).tell).not.toContain('ceiling');
  });
});

describe('quiet', () => {
  test('the chamber alone waits, and is quiet: cannot tell', () => {
    const { heading, tell } = answer({ stations: [BOX, quiet(RIG), ROOM], spool: DRY });
    expect(heading).toBe('Cannot tell: the chamber has been quiet for 6 minutes.');
    expect(tell).toContain('When last heard, at 12:04, it was at 52.8 °C');
    // Nobody waits for a chamber that nothing heats.
    expect(answer({ stations: [BOX, quiet(RIG), ROOM], spool: DRY, chamber: COLD }).heading).toBe(
      'The gear spool is dry, every turn of it.',
    );
  });

  test('the box quiet: what is known of the chamber is still said', () => {
    const { heading, tell } = answer({ stations: [quiet(BOX), RIG, ROOM] });
    expect(heading).toBe('Cannot tell: the drying box has been quiet for 6 minutes.');
    expect(tell).toContain('The chamber is at 52.8 °C and steady from about 14:25');
  });

  test('a job’s box or chamber', () => {
    for (const stations of [
      [quiet(BOX), RIG, ROOM],
      [BOX, quiet(RIG), ROOM],
    ])
      expect(answer({ stations, facts: { job: jobOf() } }).heading).toMatch(/^Cannot tell/);
  });
});

describe('while a job runs', () => {
  const job = (parts: Parameters<typeof jobOf>[0] = {}, stations = [BOX, rigAt(57.2), ROOM]) =>
    answer({ stations, chamber: STEADY, facts: { job: jobOf(parts) } });

  test('held', () => {
    const { heading, tell, aside } = job();
    expect(heading).toBe('Printing as it should.');
    expect(tell).toBe(
      'Hinge brackets: 2 h 30 min of 7 h done, 64 g of 180 g fed. The turn being fed is at 0.13 % (0.10–0.17).',
    );
    expect(aside?.head).toBe('The job');
    expect(aside?.rows.map(([what]) => what)).toEqual(['Chamber', 'Feed air', 'Ends']);
  });

  test('but for what is over: the newest of it is told first', () => {
    const door = excursion({ kind: 'door', toMs: clockMs(11, 9), worst: null, limit: null, unit: null });
    const damp = excursion({
      kind: 'feed-air',
      station: 'box',
      fromMs: clockMs(10, 40),
      toMs: clockMs(10, 50),
    });
    const { heading, tell } = job({ excursions: [damp, door] });
    expect(heading).toMatch(/^Printing as it should, but for /);
    expect(tell).toMatch(/^A door stood open from 11:05 to 11:09\. Hinge brackets: 2 h/);
  });

  test('out of its window now: what goes on is told before what is over', () => {
    const off = excursion({ kind: 'chamber-off', fromMs: clockMs(12, 1), toMs: null });
    const door = excursion({ kind: 'door', fromMs: clockMs(12, 5), toMs: clockMs(12, 7), worst: null });
    const { heading, tell } = job({ excursions: [off, door] }, [BOX, rigAt(51.9), ROOM]);
    expect(heading).toBe('Printing, but the chamber is off its temperature.');
    expect(tell).toMatch(/^The chamber has been off its 57\.0 °C since 12:01: 51\.4 °C at worst\./);
  });

  test('paused', () => {
    const pause = excursion({
      kind: 'pause',
      station: null,
      toMs: null,
      worst: null,
      limit: null,
      unit: null,
    });
    expect(job({ state: 'paused', excursions: [pause] }).heading).toBe('Paused since 11:05.');
  });

  test('it beats what is said of the spool, but not a ceiling', () => {
    const hot = [BOX, rigAt(66.2, { outcome: 'passed' }), ROOM];
    expect(job({}, hot).heading).toBe('The chamber has passed its ceiling of 65 °C.');
  });
});

describe('a start that is asked about', () => {
  const finding = {
    outcome: 'start-later' as const,
    earliestMs: clockMs(15, 21),
    spoolReadyMs: clockMs(15, 21),
    chamberReadyMs: clockMs(14, 25),
    hoursToSpool: 3.2,
    hoursToChamber: 2.3,
    bedOnByMs: null,
    bedOn: null,
    ifNow: null,
    reasons: [],
  };
  const ask = (parts: Partial<Record<keyof typeof finding, unknown>> = {}, more: Case = {}) =>
    answer({
      ...more,
      facts: {
        asked: { name: 'hinge brackets', spool: 'gear', finding: { ...finding, ...parts } as typeof finding },
      },
    });

  test('later, with its flag; what it rests on follows', () => {
    const { heading, tell, marks } = ask();
    expect(heading).toBe('Not yet. Start “hinge brackets” at about 15:20.');
    expect(tell).toContain('It is at 0.34 %');
    expect(tell).toContain('steady from about 14:25');
    expect(marks).toContain('flag');
  });

  test('the bed has to be on by a time', () => {
    expect(ask({ bedOnByMs: clockMs(13, 5) }, { chamber: COLD }).tell).toContain('Bed on by about 13:05.');
  });

  test('now', () => {
    expect(ask({ outcome: 'start-now', earliestMs: NOW_MS }, { spool: DRY, chamber: STEADY }).heading).toBe(
      'Start “hinge brackets” now.',
    );
  });

  test('no start time stands anywhere while its box is quiet', () => {
    const { heading, tell } = ask({}, { stations: [quiet(BOX), RIG, ROOM] });
    expect(heading).toMatch(/^Cannot tell/);
    expect(heading + tell).not.toContain('15:20');
  });

  test('too little filament is said', () => {
    const reasons = [{ kind: 'spool-short', hasG: 120, needsG: 180 }];
    expect(ask({ outcome: 'not-enough-filament', earliestMs: null, reasons }).tell).toContain(
      'There are 120 g for it; it needs 180 g.',
    );
  });
});

test('every heading keeps to twelve words or a few more with its times, and none praises or speaks of itself', () => {
  expect(everySaid.length).toBeGreaterThan(50);
  for (const heading of everySaid) {
    expect(heading.split(/\s+/).length).toBeLessThanOrEqual(15);
    expect(heading).not.toMatch(/\b(I|we|our|ok|good|ready|safe|please|sorry)\b/i);
  }
});
