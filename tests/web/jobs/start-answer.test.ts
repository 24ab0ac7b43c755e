process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { StartFindingWire } from '../../../server/api/messages-jobs.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../../web/format.ts';
import { type StartFacts, startAnswer } from '../../../web/jobs/start-answer.ts';
import { plainText } from '../../../web/pieces.ts';
import { BOX, CABINET, NOW_MS, RIG, ROOM } from '../../browser/invented-bench.ts';
import { findingOf } from '../../browser/invented-jobs.ts';
import { CALLED_DRY, clockMs, dryingOf, quantiles, spoolOf } from '../../browser/invented-spool.ts';

const plain = (text: string): string => text.replaceAll(/[\u00a0\u2009]/g, ' ');

function said(finding: Partial<StartFindingWire> | null, parts: Partial<StartFacts> = {}) {
  const answer = startAnswer({
    connection: 'live',
    lostSinceMs: null,
    stations: [BOX, RIG, ROOM, CABINET],
    spool: spoolOf(),
    name: 'the hinge brackets',
    query: { spool: 'gear', chamber: 'rig', grams: 120, hours: 7, chamberC: 55, sure: 0.9 },
    finding: finding && findingOf(finding),
    refusal: null,
    nowMs: NOW_MS,
    format: createFormat(DEFAULT_PREFERENCES),
    ...parts,
  });
  return {
    heading: plain(plainText(answer.heading)),
    tell: answer.tell.map(plain),
    ifNow: answer.ifNow?.map((line) => plain(plainText(line))) ?? null,
    tellsTimes: answer.tellsTimes,
  };
}

const LATER: Partial<StartFindingWire> = {};
const NONE = { earliestMs: null, bedOnByMs: null };

describe('the answer of the start check', () => {
  test('not yet: what decides, how much earlier the other is there, and by when the bed is on', () => {
    expect(said(LATER)).toEqual({
      heading: 'Not yet. Start the hinge brackets at about 15:20.',
      tell: [
        'On average the spool is dry between 14:50 and 19:45, the Bench’s times; this job asks for every turn that it feeds.',
        'Every turn of 120 g is under 0.20 % as it leaves, 9 in 10 sure, from about 15:20, in 3 h 10 min.',
        'The chamber would be steady at about 13:45, in 1 h 35 min, if its bed came on now.',
        'The spool decides; the chamber would be there 1 h 35 min earlier.',
        'Bed on by about 13:45, judged by its last heat-up.',
      ],
      ifNow: [
        'Hardly any chance that every turn is under 0.20 %.',
        'About 45 g (12–80) would leave too wet, the first of them after about 75 g; the wettest at 0.31 % (0.25–0.38).',
        'Hardly any chance that the chamber is steady.',
        'Purge 3 g first: it stood in an undried tube.',
      ],
      tellsTimes: true,
    });
  });

  test('dry on average, as the Bench calls it, and not yet for a job: both are said', () => {
    const dryOutside = spoolOf({
      drying: dryingOf({ ...CALLED_DRY, readyOuterG: quantiles(628, 790, 940) }),
    });
    expect(said(LATER, { spool: dryOutside }).tell[0]).toBe(
      'Dry on average, as the Bench has it; that every turn this job feeds is dry is not yet sure.',
    );
    // No difference, no sentence.
    const through = said({ spoolReadyMs: NOW_MS }, { spool: spoolOf({ drying: dryingOf(CALLED_DRY) }) });
    expect(through.tell.join(' ')).not.toContain('average');
  });

  test('a box taken to be cooler during the job than now is named, and what may change it', () => {
    const reasons = [{ kind: 'box-assumed', assumedC: 60, presentC: 81.2 }] as const;
    const told = said({ ...NONE, outcome: 'spool-never', spoolReadyMs: null, reasons: [...reasons] }).tell;
    expect(told).toContain(
      'This takes the box to stand at 60.0 °C while the job prints; it is at 81.2 °C now. Left hotter, the answer may be better: if filament and reel bear it by their makers’ word, type it under “Box, tube, and how sure”.',
    );
    // Who may start has nothing to change.
    expect(said({ outcome: 'start-now', reasons: [...reasons] }).tell).toContain(
      'This takes the box to stand at 60.0 °C while the job prints; it is at 81.2 °C now.',
    );
  });

  test('a bed that is on is not spoken of as if it were off', () => {
    expect(said({ bedOn: true }).tell).toContain('The chamber is steady from about 13:45, in 1 h 35 min.');
  });

  test('a job without a name is "the job"; a later day has its weekday', () => {
    expect(said({ earliestMs: clockMs(27, 10), spoolReadyMs: clockMs(27, 10) }, { name: '' }).heading).toBe(
      'Not yet. Start the job at about Thu 03:15.',
    );
  });

  test('now: nothing of what starting now would cost, but the purge is kept', () => {
    const now = said({
      outcome: 'start-now',
      earliestMs: NOW_MS,
      spoolReadyMs: NOW_MS,
      chamberReadyMs: NOW_MS,
      reasons: [{ kind: 'decides', what: 'neither', otherEarlierMin: null }],
    });
    expect(now.heading).toBe('Start the hinge brackets now.');
    expect(now.ifNow).toBeNull();
    expect(now.tell).toEqual([
      'On average the spool is not dry yet, as the Bench has it; this job takes its outer turns, which are.',
      'Every turn of 120 g is under 0.20 % as it leaves, 9 in 10 sure.',
      'The chamber is steady.',
      'Purge 3 g first: it stood in an undried tube.',
    ]);
  });

  test('a start whose time has come since it was asked is now', () => {
    expect(said({ earliestMs: NOW_MS - 1000 }).heading).toBe('Start the hinge brackets now.');
  });

  test('the bed has to come on now: by its last heat-up, or by what chambers are like', () => {
    const bed = (basis: 'prior' | 'earlier-heat-up') =>
      said({ reasons: [{ kind: 'bed-on-by', atMs: NOW_MS, basis }] }).tell.at(-1);
    expect(bed('prior')).toBe(
      'Bed on now, judged by what chambers are like: no heat-up of this one has been seen.',
    );
    expect(bed('earlier-heat-up')).toBe('Bed on now, judged by its last heat-up.');
  });

  const OTHERS: readonly (readonly [Partial<StartFindingWire>, heading: string, tells: string])[] = [
    [
      {
        ...NONE,
        outcome: 'spool-never',
        spoolReadyMs: null,
        reasons: [{ kind: 'probability-at-last', probability: 0.04 }],
      },
      'This air does not dry the gear spool enough for this job.',
      'At best hardly any chance that every turn is under 0.20 % as it leaves, however long it dries.',
    ],
    [
      {
        ...NONE,
        outcome: 'spool-never',
        spoolReadyMs: null,
        reasons: [{ kind: 'probability-at-last', probability: 0.62 }],
      },
      'In this air the gear spool never gets surely dry enough.',
      'At best 6 in 10 that every turn is under 0.20 % as it leaves, however long it dries.',
    ],
    [
      {
        ...NONE,
        outcome: 'spool-beyond',
        spoolReadyMs: null,
        reasons: [{ kind: 'probability-at-last', probability: 0.5 }],
      },
      'Not within three days: the gear spool takes longer.',
      'At the latest start looked at, 5 in 10 that every turn is under 0.20 % as it leaves.',
    ],
    [
      { ...NONE, outcome: 'spool-not-drying', spoolReadyMs: null, reasons: [] },
      'Not yet: the gear spool is too wet, and nothing dries it.',
      'Heat its box. Unheated, it stays as it is over a job’s hours.',
    ],
    [
      { ...NONE, outcome: 'chamber-beyond', chamberReadyMs: null, reasons: [] },
      'Not within a day: the chamber is not foretold to be steady.',
      'Every turn of 120 g is under 0.20 % as it leaves, 9 in 10 sure, from about 15:20, in 3 h 10 min.',
    ],
    [
      {
        ...NONE,
        outcome: 'chamber-off-target',
        reasons: [{ kind: 'chamber-ends-at', finalAirC: quantiles(46.8, 48.3, 49.9), targetC: 55 }],
      },
      'Not so: the chamber ends near 48.3 °C, not at 55.0 °C.',
      'It ends near 48.3 °C (46.8–49.9) as it is heated now; the job wants 55.0 °C.',
    ],
    [
      {
        ...NONE,
        outcome: 'not-enough-filament',
        spoolReadyMs: null,
        chamberReadyMs: null,
        ifNow: null,
        reasons: [
          { kind: 'spool-short', hasG: 90, needsG: 120 },
          { kind: 'filament-taken', takenG: 850 },
        ],
      },
      'The gear spool holds too little for this job.',
      'Jobs took 850 g off this spool already: the check begins there.',
    ],
  ];
  test.each(OTHERS)('%j: %s', (finding, heading, tells) => {
    const answer = said(finding);
    expect(answer.heading).toBe(heading);
    expect(answer.tell).toContain(tells);
    expect(answer.heading.split(' ').length).toBeLessThanOrEqual(12);
    // No start stands anywhere where there is none.
    expect([answer.heading, ...answer.tell].join(' ')).not.toMatch(/Start .* at about/);
  });

  test('a best chance that falls just short of what was asked is not rounded up to it', () => {
    const at = (probability: number, sure: number) =>
      said(
        {
          ...NONE,
          outcome: 'spool-never',
          spoolReadyMs: null,
          reasons: [{ kind: 'probability-at-last', probability }],
        },
        { query: { spool: 'gear', grams: 120, hours: 7, sure } },
      ).tell.find((line) => line.startsWith('At best'));
    expect(at(0.875, 0.9)).toMatch(/^At best 87 in 100 /);
    expect(at(0.899, 0.9)).toMatch(/^At best 89 in 100 /);
    expect(at(0.96, 0.99)).toMatch(/^At best 96 in 100 /);
    expect(at(0.83, 0.9)).toMatch(/^At best 8 in 10 /);
  });

  test('while a station it rests on is quiet there is no time anywhere, whatever was found', () => {
    const stations = [{ ...BOX, quiet: true, heardMs: NOW_MS - 371_000 }, RIG, ROOM, CABINET];
    const quiet = said(LATER, { stations });
    expect(quiet).toEqual({
      heading: 'Cannot tell: the drying box has been quiet for 6 minutes.',
      tell: [],
      ifNow: null,
      tellsTimes: false,
    });
    // The electronics’ silence has nothing to do with it.
    expect(said(LATER, { stations: [BOX, RIG, ROOM, { ...CABINET, quiet: true }] }).tellsTimes).toBe(true);
    const noChamber = { spool: 'gear', grams: 120, hours: 7 };
    expect(said(LATER, { stations: [BOX, { ...RIG, quiet: true }, ROOM], query: noChamber }).tellsTimes).toBe(
      true,
    );
  });

  test('before there is an answer it says what is missing, or what the server says', () => {
    expect(said(null, { query: null }).heading).toBe('Say what the job takes.');
    expect(said(null).heading).toBe('Looking ahead.');
    expect(said(null, { spool: null }).heading).toBe('No spool is described yet.');
    expect(said(null, { refusal: 'It is too early to say: the drying run has only begun.' }).heading).toBe(
      'It is too early to say: the drying run has only begun.',
    );
    expect(said(LATER, { connection: 'lost', lostSinceMs: NOW_MS - 60_000 })).toMatchObject({
      heading: 'Cannot tell: no word from lowdew since 12:09.',
      tellsTimes: false,
    });
  });

  test('both there at about the same time; a sure of 95 in 100; degrees Fahrenheit', () => {
    const reasons: StartFindingWire['reasons'] = [{ kind: 'decides', what: 'chamber', otherEarlierMin: 3 }];
    expect(said({ reasons }).tell).toContain(
      'The chamber decides; the spool is there at about the same time.',
    );
    const query = { spool: 'gear', grams: 4.5, hours: 1, sure: 0.95 };
    expect(said(LATER, { query }).tell[1]).toContain(
      'Every turn of 4.5 g is under 0.20 % as it leaves, 95 in 100 sure',
    );
    const format = createFormat({ ...DEFAULT_PREFERENCES, temperature: 'F' });
    expect(said(OTHERS[5]![0], { format }).heading).toBe(
      'Not so: the chamber ends near 118.9 °F, not at 131.0 °F.',
    );
  });
});
