import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, type Look, launchBrowser, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import {
  CHAMBER_OFF,
  CHANCES,
  DIFFERENCES,
  DOOR,
  findingOf,
  GOOD,
  JOB_HISTORY,
  jobOf,
  WARPED,
} from './invented-jobs.ts';
import { spoolOf } from './invented-spool.ts';
import { heading, sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
const ALL = [BOX, RIG, ROOM, CABINET];
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: JOB_HISTORY });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const ASKED = 'name=hinge+brackets&grams=120&time=7&chamberC=55&tubeM=1.2&stood=45';
const ENDED = [WARPED, GOOD];
const bench = (parts: Parameters<typeof benchOf>[1] = {}, stations = ALL) =>
  benchOf(stations, { spools: [spoolOf()], jobs: [WARPED], ...parts });
const STATES = {
  'not-yet': {
    snapshot: bench(),
    query: ASKED,
    finding: findingOf(),
    jobs: ENDED,
    say: 'Not yet. Start hinge brackets at about 15:20.',
  },
  now: {
    snapshot: bench({ simulated: { scenario: 'a nylon spool', speed: 60 }, speed: 60 }),
    query: ASKED,
    finding: findingOf({
      outcome: 'start-now',
      earliestMs: NOW_MS,
      spoolReadyMs: NOW_MS,
      chamberReadyMs: NOW_MS,
      bedOnByMs: null,
      reasons: [{ kind: 'decides', what: 'neither', otherEarlierMin: null }],
    }),
    jobs: ENDED,
    say: 'Start hinge brackets now.',
  },
  never: {
    snapshot: bench(),
    query: ASKED,
    finding: findingOf({
      outcome: 'spool-never',
      earliestMs: null,
      spoolReadyMs: null,
      bedOnByMs: null,
      reasons: [{ kind: 'probability-at-last', probability: 0.42 }],
    }),
    jobs: ENDED,
    say: 'In this air the gear spool never gets surely dry enough.',
  },
  running: {
    snapshot: bench({ jobs: [jobOf({ excursions: [DOOR, CHAMBER_OFF] }), WARPED] }),
    query: '',
    finding: null,
    jobs: [jobOf({ excursions: [DOOR, CHAMBER_OFF] }), ...ENDED],
    say: 'Printing, but the chamber is off its temperature.',
  },
  first: {
    snapshot: bench({ jobs: [] }),
    query: '',
    finding: null,
    jobs: [],
    say: 'Say what the job takes.',
  },
};

type StateName = keyof typeof STATES;
const [WIDE_LIGHT, WIDE_DARK, NARROW_LIGHT, NARROW_DARK] = LOOKS as [Look, Look, Look, Look];
const EVERY: readonly (readonly [name: StateName, look: Look, checked: boolean])[] = [
  ['not-yet', WIDE_LIGHT, true],
  ['not-yet', NARROW_DARK, true],
  ['now', NARROW_LIGHT, false],
  ['never', WIDE_DARK, false],
  ['running', WIDE_DARK, true],
  ['running', NARROW_LIGHT, true],
  ['first', NARROW_LIGHT, false],
];

test.each(EVERY)('%s reads as it should and breaks no rule, %o', async (name, look, checked) => {
  const state = STATES[name];
  double.snapshot = state.snapshot;
  double.answers = {
    '/api/start': () => ({ body: state.finding }),
    '/api/start/chances': () => ({ body: CHANCES }),
    '/api/jobs': () => ({ body: { jobs: state.jobs, waiting: [] } }),
    '/api/jobs/differences': () => ({ body: DIFFERENCES }),
  };
  const { page, complaints } = await visit(browser, look, `${double.url}jobs?${state.query}`);
  if (state.finding) await page.locator('.start-ruler .window').waitFor();
  if (state.jobs.length > 0) {
    await page.locator('.differ li').first().waitFor();
    await page.locator('.pair .hl').nth(1).waitFor();
  }
  await expect.poll(() => heading(page), { timeout: 10_000 }).toBe(state.say);
  await takePicture(page, `jobs-${name}-${look.width}-${look.scheme}`);
  expect(await sidewaysPx(page)).toBe(0);
  if (checked) expect(await violations(page)).toEqual([]);
  expect(complaints).toEqual([]);
});
