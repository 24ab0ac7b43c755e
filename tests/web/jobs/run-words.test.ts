process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { DifferencesAnswer, JobState } from '../../../server/api/messages-jobs.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../../web/format.ts';
import { sayDifference, sayOutcome, sayWindow, settingsFrom } from '../../../web/jobs/attempt-words.ts';
import { withinJob } from '../../../web/jobs/job-history.ts';
import { type RunFacts, runAnswer, runRows, sayExcursion } from '../../../web/jobs/run-words.ts';
import { plainText } from '../../../web/pieces.ts';
import { BOX, NOW_MS, RIG, ROOM } from '../../browser/invented-bench.ts';
import { CHAMBER_OFF, DOOR, GOOD, jobOf } from '../../browser/invented-jobs.ts';
import { clockMs, quantiles, spoolOf } from '../../browser/invented-spool.ts';

const plain = (text: string): string => text.replaceAll(/[\u00a0\u2009]/g, ' ');
const FACTS: RunFacts = {
  connection: 'live',
  lostSinceMs: null,
  stations: [BOX, RIG, ROOM],
  spools: [spoolOf()],
  nowMs: NOW_MS,
  format: createFormat(DEFAULT_PREFERENCES),
};
const heading = (job: Partial<JobState>, facts: Partial<RunFacts> = {}): string =>
  plain(runAnswer(jobOf(job), { ...FACTS, ...facts }).heading);
const excursion = (parts: Partial<JobState['excursions'][number]>) => ({ ...DOOR, ...parts });

describe('a running job', () => {
  test.each<readonly [string, Partial<JobState>, string]>([
    ['in its window', {}, 'Printing as it should.'],
    ['one door, closed again', { excursions: [DOOR] }, 'Printing as it should, but for an open door.'],
    ['off now', { excursions: [DOOR, CHAMBER_OFF] }, 'Printing, but the chamber is off its temperature.'],
    [
      'the worst of two that are open',
      { excursions: [CHAMBER_OFF, excursion({ kind: 'turn-too-wet', toMs: null })] },
      'Printing, but the turn being fed is too wet.',
    ],
    [
      'paused',
      { state: 'paused', excursions: [excursion({ kind: 'pause', fromMs: clockMs(11, 2), toMs: null })] },
      'Paused since 11:02.',
    ],
    [
      'nothing known of its filament',
      { fedWtPercent: null },
      'Printing; nothing can be said of its filament.',
    ],
  ])('%s', (_, job, says) => {
    expect(heading(job)).toBe(says);
  });

  test('quiet beats everything, where it bears on the job', () => {
    const quiet = { stations: [{ ...BOX, quiet: true, heardMs: NOW_MS - 371_000 }, RIG, ROOM] };
    expect(heading({ excursions: [CHAMBER_OFF] }, quiet)).toBe(
      'Cannot tell: the drying box has been quiet for 6 minutes.',
    );
    expect(heading({}, { stations: [BOX, RIG, { ...ROOM, quiet: true }] })).toBe('Printing as it should.');
    expect(heading({}, { connection: 'lost', lostSinceMs: NOW_MS })).toContain(
      'no word from lowdew since 12:10',
    );
  });

  test('how far it is goes on between two words of the server, and stands while it is paused', () => {
    const tell = (job: Partial<JobState>, nowMs = NOW_MS) =>
      plain(plainText(runAnswer(jobOf(job), { ...FACTS, nowMs }).tell));
    // Begun at 09:30, 7 h and 120 g: 2 h 40 min 42 s are 45.9 g.
    expect(tell({})).toBe(
      'Hinge brackets: 2 h 41 min of 7 h done, 46 g of 120 g fed. The turn being fed is at 0.13 % (0.10–0.17).',
    );
    expect(tell({}, NOW_MS + 600_000)).toContain('2 h 51 min of 7 h done');
    expect(tell({ state: 'paused' }, NOW_MS + 600_000)).toContain('2 h 40 min of 7 h done');
    expect(tell({}, clockMs(17, 0))).toContain('Hinge brackets is 30 min past its stated time.');
  });

  test('each thing against its bound; nothing of a place that is quiet', () => {
    const rows = (facts: Partial<RunFacts> = {}) =>
      Object.fromEntries(runRows(jobOf(), { ...FACTS, ...facts }).map(([what, how]) => [what, plain(how)]));
    expect(rows()).toEqual({
      'Turn being fed': '0.13 % (0.10–0.17) against the limit of 0.20 %',
      Chamber: '52.8 °C against 55.0 ± 3.0 °C',
      'Feed air': '80.1 °C, 3.6 %RH, 10.5 g/m³',
      Ends: 'at about 16:30, if it goes on evenly',
    });
    const stations = [{ ...BOX, quiet: true }, { ...RIG, quiet: true }, ROOM];
    expect(rows({ stations })).toMatchObject({ Chamber: 'not known', 'Feed air': 'not known' });
    const format = createFormat({ ...DEFAULT_PREFERENCES, temperature: 'F' });
    expect(rows({ format })['Chamber']).toBe('127.0 °F against 131.0 ± 5.4 °F');
  });

  test.each<readonly [Partial<JobState['excursions'][number]>, string]>([
    [{}, 'A door stood open from 10:05 to 10:09.'],
    [{ toMs: null }, 'A door has stood open since 10:05.'],
    [CHAMBER_OFF, 'The chamber has been off its 55.0 °C since 11:50: 51.4 °C at worst.'],
    [
      { ...CHAMBER_OFF, toMs: clockMs(12, 4) },
      'The chamber was off its 55.0 °C from 11:50 to 12:04: 51.4 °C at worst.',
    ],
    [
      { kind: 'feed-air', worst: 0.45, limit: 0.2, unit: 'wt %' },
      'The feed air was too damp from 10:05 to 10:09: left in it, the filament would take on 0.45 % at worst (limit 0.20 %).',
    ],
    [
      { kind: 'turn-too-wet', worst: 0.27, limit: 0.2, unit: 'wt %', toMs: null },
      'The turn being fed has been too wet since 10:05: 0.27 % at worst (limit 0.20 %).',
    ],
    [
      { kind: 'quiet', station: 'box' },
      'The drying box was quiet from 10:05 to 10:09: nothing is claimed of that time.',
    ],
    [{ kind: 'pause', station: null }, 'Paused from 10:05 to 10:09.'],
    [{ kind: 'pause', station: null, toMs: null }, 'It has been paused since 10:05.'],
  ])('%j: %s', (parts, says) => {
    expect(plain(sayExcursion(excursion(parts), FACTS))).toBe(says);
  });
});

describe('two attempts', () => {
  type Difference = DifferencesAnswer['differences'][number];
  test.each<readonly [Difference['what'], Difference['left'], Difference['right'], string]>([
    [{ kind: 'mean', measure: 'chamberC' }, 55.1, 48.3, 'Chamber 55.1 °C against 48.3 °C.'],
    [{ kind: 'mean', measure: 'boxRhPercent' }, 4.1, 12, 'Humidity in the box 4.1 %RH against 12.0 %RH.'],
    [
      { kind: 'mean', measure: 'roomVapourGPerM3' },
      8.1,
      12.4,
      'Water in the room air 8.1 g/m³ against 12.4 g/m³.',
    ],
    [{ kind: 'highest', measure: 'fedWtPercent' }, 0.21, 0.14, 'Wettest turn fed 0.21 % against 0.14 %.'],
    [
      { kind: 'sway', measure: 'chamberC' },
      0.3,
      2.1,
      'The chamber swayed by 0.3 °C against 2.1 °C (one standard deviation).',
    ],
    [{ kind: 'excursion', excursion: 'door' }, 0, 4, 'Door open: not at all against 4 minutes.'],
    [
      { kind: 'p-spool-at-start' },
      0.9,
      0.4,
      'At the start 9 in 10 against 4 in 10 that every turn would be under the limit.',
    ],
    [{ kind: 'setting', name: 'nozzleC' }, 260, 275, 'nozzleC: 260 against 275.'],
    [{ kind: 'setting', name: 'sheet' }, 'garolite', null, 'sheet: garolite against not said.'],
  ])('%j', (what, left, right, says) => {
    expect(plain(sayDifference({ what, left, right, size: 1 }, FACTS.format))).toBe(says);
  });

  test('a sway in degrees Fahrenheit has no thirty-two in it', () => {
    const format = createFormat({ ...DEFAULT_PREFERENCES, temperature: 'F' });
    const sway: Difference = { what: { kind: 'sway', measure: 'chamberC' }, left: 1, right: 2, size: 1 };
    expect(plain(sayDifference(sway, format))).toContain('swayed by 1.8 °F against 3.6 °F');
  });

  test('settings typed: numbers as such, empty rows left out', () => {
    expect(
      settingsFrom([
        ['nozzle', '260'],
        ['gap', '0,12'],
        [' sheet ', ' garolite '],
        ['', '3'],
        ['fan', ''],
      ]),
    ).toEqual({
      nozzle: 260,
      gap: 0.12,
      sheet: 'garolite',
    });
  });

  test('outcomes in words', () => {
    expect(
      [jobOf(), { ...GOOD, outcome: null }, GOOD, { ...GOOD, outcome: 'weak' as const }].map(sayOutcome),
    ).toEqual(['running', 'not said yet', 'good', 'weak layers']);
  });

  test('history keeps to the job’s own time: buckets that reach beyond either end are left out', () => {
    const job = { ...GOOD, startedMs: 1000, endedMs: 5000 };
    const column = {
      atMs: [500, 1000, 2000, 4000, 4500],
      min: [1, 2, 3, 4, 5],
      mean: [1, 2, 3, 4, 5],
      max: [1, 2, 3, 4, 5],
    };
    expect(withinJob(column, 1000, job)).toEqual({
      atMs: [1000, 2000, 4000],
      min: [2, 3, 4],
      mean: [2, 3, 4],
      max: [2, 3, 4],
    });
    expect(withinJob({ ...column, atMs: [6000, 7000, 8000, 9000, 9500] }, 1000, job)).toBeNull();
  });
});

test('a band of the fed turn is said with its limit', () => {
  expect(
    plain(runRows(jobOf({ fedWtPercent: quantiles(0.9, 1.2, 1.6), limitWtPercent: 1 }), FACTS)[0]![1]),
  ).toBe('1.2 % (0.90–1.6) against the limit of 1.0 %');
});

test('a pause is the user’s own: it is counted beside the times that the job left its window', () => {
  const pause = excursion({ kind: 'pause' });
  const window = (parts: Partial<JobState>) => sayWindow(jobOf(parts));
  expect(window({ excursions: [] })).toBe('kept to its window');
  expect(window({ excursions: [pause] })).toBe('kept to its window, paused once');
  expect(window({ excursions: [pause, DOOR, pause] })).toBe('left its window once, paused twice');
  expect(window({ excursions: [DOOR, CHAMBER_OFF] })).toBe('left its window twice');
});

test('of a job’s first minutes nothing is claimed, and headline and list agree', () => {
  const wet = { fedWtPercent: quantiles(0.25, 0.31, 0.4) };
  const early = { printedMs: 240_000, excursions: [] };
  expect(heading({ ...early, ...wet })).toBe('Printing, but the turn being fed is too wet.');
  expect(heading(early)).toBe('Printing; it is too early to judge it.');
  for (const job of [early, { ...early, ...wet }]) expect(sayWindow(jobOf(job))).toBe('not judged yet');
  // A turn that has just become too wet does not count yet; the headline tells it already.
  expect(heading({ ...wet, excursions: [] })).toBe('Printing, but the turn being fed is too wet.');
  expect(sayWindow(jobOf({ ...wet, excursions: [] }))).toBe('not judged yet');
  expect(sayWindow(jobOf({ ...early, state: 'ended' }))).toBe('too short to judge');
  expect(sayWindow(jobOf({ ...wet, excursions: [], state: 'ended' }))).toBe('kept to its window');
  expect(sayWindow(jobOf({ ...early, excursions: [DOOR] }))).toBe('left its window once');
});
