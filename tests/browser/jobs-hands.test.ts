/** The Jobs screen in use: typed, dragged, begun, ended, and told how it came out, by keys and by touch. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import type { WaitingJobWire } from '../../server/api/messages-jobs.ts';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, launchBrowser } from './browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import { CHANCES, DIFFERENCES, findingOf, GOOD, JOB_HISTORY, jobOf, WARPED } from './invented-jobs.ts';
import { clockMs, spoolOf } from './invented-spool.ts';
import { heading, violations, visit } from './looking.ts';

const WIDE = LOOKS[0]!;
/** The machine may be busy. */
const PATIENT = { timeout: 10_000 };
const NARROW = LOOKS.find(({ width }) => width === 390)!;
let browser: Browser;
let double: BenchDouble;
let starts: URL[];
let jobs = [WARPED, GOOD];
let waiting: WaitingJobWire[];
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: JOB_HISTORY });
});
beforeEach(() => {
  starts = [];
  jobs = [WARPED, GOOD];
  waiting = [];
  double.entered.length = 0;
  double.refusal = null;
  double.snapshot = benchOf([BOX, RIG, ROOM, CABINET], { spools: [spoolOf()], jobs: [WARPED] });
  double.answers = {
    '/api/start': (url) => {
      starts.push(url);
      // More grams, a later start: so that an answer can be told from another's.
      const earliestMs = clockMs(14, 0) + Number(url.searchParams.get('grams')) * 60_000;
      return { body: findingOf({ earliestMs, spoolReadyMs: earliestMs }) };
    },
    '/api/start/chances': () => ({ body: CHANCES }),
    '/api/jobs': () => ({ body: { jobs, waiting } }),
    '/api/jobs/differences': () => ({ body: DIFFERENCES }),
  };
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const plain = (text: string | null): string => (text ?? '').replaceAll(/[\u00a0\u2009]/g, ' ');
const hand = (page: Page) => page.getByRole('slider', { name: 'Start of the job' });
/** Waits until the heading says it. */
const says = (page: Page, words: string): Promise<void> =>
  page
    .locator('h1')
    .filter({ hasText: new RegExp(`^${words.replaceAll('.', '\\.').replaceAll(' ', '\\s')}$`) })
    .waitFor();
const atStart = async (page: Page): Promise<string> => plain(await page.locator('.at-start').textContent());

test('keys alone: the job is typed, the answer follows, its window is moved, the address tells it all again', async () => {
  const { page, complaints } = await visit(browser, WIDE, `${double.url}jobs`);
  await page.getByLabel('grams it takes').waitFor();
  expect(await heading(page)).toBe('Say what the job takes.');
  await page.getByLabel('what it is called').focus();
  await page.keyboard.type('the gear');
  await page.keyboard.press('Tab');
  await page.keyboard.type('60');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  await page.keyboard.type('4');
  await says(page, 'Not yet. Start the gear at about 15:00.');
  // Another answer takes the place of this one; of the letters in between no question is asked.
  await page.getByLabel('grams it takes').fill('');
  await page.getByLabel('grams it takes').pressSequentially('120', { delay: 20 });
  await says(page, 'Not yet. Start the gear at about 16:00.');
  expect(starts.map((url) => url.searchParams.get('grams')).at(-1)).toBe('120');
  expect(starts.map((url) => url.searchParams.get('chamber'))).toEqual(starts.map(() => 'rig'));

  await page.locator('.start-ruler .window').waitFor();
  expect(await atStart(page)).toMatch(/^At 16:00, all but sure that every turn is under 0.20 %/);
  await hand(page).focus();
  await page.keyboard.press('PageDown');
  await page.keyboard.press('PageDown');
  await page.keyboard.press('ArrowRight');
  expect(await atStart(page)).toMatch(/^At 14:10, 6 in 10 that every turn is under 0.20 %;/);
  expect(plain(await hand(page).getAttribute('aria-valuetext'))).toBe(await atStart(page));
  await expect.poll(() => page.url(), PATIENT).toContain('at=2026-03-04T13%3A10Z');

  await page.reload();
  await says(page, 'Not yet. Start the gear at about 16:00.');
  await page.locator('.start-ruler .window').waitFor();
  expect(await atStart(page)).toMatch(/^At 14:10/);
  await hand(page).press('Escape');
  expect(await atStart(page)).toMatch(/^At 16:00/);
  expect(complaints).toEqual([]);
});

test('a mistake stands beside its field, and nothing is asked while it does', async () => {
  const { page } = await visit(browser, WIDE, `${double.url}jobs?grams=60&time=4`);
  await page.locator('.start-ruler .window').waitFor();
  const before = starts.length;
  const grams = page.getByLabel('grams it takes');
  await grams.fill('sixty');
  expect(await grams.getAttribute('aria-invalid')).toBe('true');
  expect(await page.locator('#job-grams-wrong').textContent()).toBe(
    '“sixty” is no number. Type the grams it takes in figures, such as 150.',
  );
  expect(await grams.getAttribute('aria-describedby')).toBe('job-grams-wrong');
  await expect.poll(() => page.locator('.start-ruler').count(), PATIENT).toBe(0);
  expect(starts.length).toBe(before);
});

test('a hand drags the window: the sentence follows, and the page does not scroll away under it', async () => {
  const { page } = await visit(browser, NARROW, `${double.url}jobs?grams=120&time=2`);
  await page.locator('.start-ruler .window').waitFor();
  await hand(page).scrollIntoViewIfNeeded();
  const box = (await page.locator('.start-ruler .window').boundingBox())!;
  const y = box.y + box.height / 2;
  const before = await atStart(page);
  await page.mouse.move(box.x + 4, y);
  await page.mouse.down();
  await page.mouse.move(box.x - 40, y, { steps: 4 });
  const during = await atStart(page);
  await page.mouse.up();
  expect(before).toMatch(/^At 16:00/);
  expect(during).toMatch(/^At 1[2-5]:/);
  // Held where it was taken: as far as the hand went, to the ten minutes.
  const moved = (await page.locator('.start-ruler .window').boundingBox())!;
  expect(Math.abs(moved.x - (box.x - 44))).toBeLessThan(8);
  await page.mouse.move(box.x + 60, y);
  expect(await atStart(page)).toBe(during);
});

test('a job is begun with its settings, runs, is ended, and its outcome is kept', async () => {
  const { page, complaints } = await visit(
    browser,
    WIDE,
    `${double.url}jobs?name=the+gear&grams=120&time=7&chamberC=55`,
  );
  await page.locator('.start-ruler .window').waitFor();
  await page.getByText('Settings to keep with it').press('Enter');
  const begin = page.locator('.begin');
  await begin.getByLabel('name of setting 1').fill('nozzle');
  await begin.getByLabel('value of setting 1').fill('260');
  double.refusal = { status: 422, body: { error: { code: 'bad-value', message: 'Job "a" still runs.' } } };
  await page.getByRole('button', { name: 'Start the job now' }).press('Enter');
  await page.getByText('Not taken: Job "a" still runs.').waitFor();
  double.refusal = null;
  await page.getByRole('button', { name: 'Start the job now' }).press('Enter');
  await expect.poll(() => double.entered.length, PATIENT).toBe(2);
  expect(double.entered[1]).toEqual({
    kind: 'job-start',
    job: expect.stringMatching(/^20260304-1110\d\d$/),
    name: 'the gear',
    spool: 'gear',
    station: 'rig',
    grams: 120,
    hours: 7,
    chamberC: 55,
    settings: { nozzle: 260 },
  });
  const running = jobOf({ name: 'the gear' });
  double.send({ atMs: NOW_MS + 1000, jobs: [running, WARPED] });
  await says(page, 'Printing as it should.');
  expect(await page.title()).toContain('Printing as it should.');
  await page.getByRole('button', { name: 'It is paused' }).press('Enter');
  await expect.poll(() => double.entered.at(-1), PATIENT).toEqual({ kind: 'job-pause', job: running.id });
  await page.getByRole('button', { name: 'It has ended' }).press('Enter');
  // An end can't be taken back: it is asked once more.
  expect(double.entered).toHaveLength(3);
  await page.getByRole('button', { name: 'End it' }).press('Enter');
  await expect.poll(() => double.entered.at(-1), PATIENT).toEqual({ kind: 'job-end', job: running.id });

  const ended = { ...running, state: 'ended' as const, endedMs: NOW_MS, atMs: NOW_MS + 2000 };
  jobs = [ended, WARPED, GOOD];
  double.send({ atMs: NOW_MS + 2000, jobs: [ended] });
  const article = page.getByRole('article', { name: 'the gear' });
  await article.getByLabel('warped').check();
  await article.getByLabel('Note').fill('corner lifted');
  await article.getByRole('button', { name: 'Keep the outcome' }).press('Enter');
  await expect
    .poll(() => double.entered.at(-1))
    .toEqual({
      kind: 'job-outcome',
      job: running.id,
      outcome: 'warped',
      note: 'corner lifted',
      settings: { nozzleC: 260, sheet: 'garolite' },
    });
  expect(complaints.filter((one) => !one.includes('422'))).toEqual([]);
});

test('two attempts are chosen, stay in the address, and what differs most stands first', async () => {
  const { page } = await visit(browser, NARROW, `${double.url}jobs`);
  await page.locator('.differ li').first().waitFor();
  expect(plain(await page.locator('.pair h2').textContent())).toBe(
    'brackets, first against brackets, second',
  );
  expect(plain(await page.locator('.differ li').first().textContent())).toBe(
    'Chamber off its temperature: not at all against 80 minutes.',
  );
  await page.getByRole('button', { name: 'Put brackets, second on the left' }).press('Enter');
  await page.getByRole('button', { name: 'Put brackets, first on the right' }).press('Enter');
  await page.getByRole('heading', { name: 'brackets, second against brackets, first' }).waitFor();
  expect(page.url()).toContain('left=second&right=first');
  // Both on one scale of time: the shorter one ends before the ruler does.
  const ends = await page.evaluate<number[]>(
    "[...document.querySelectorAll('.pair .wl')].map((line) => line.getBBox().x + line.getBBox().width)",
  );
  expect(Math.max(...ends) - Math.min(...ends)).toBeGreaterThan(20);
});

test('a job can wait: it is entered as one, listed with how it stands, and dropped', async () => {
  const { page } = await visit(browser, WIDE, `${double.url}jobs?name=the+gear&grams=120&time=2`);
  await page.getByRole('button', { name: 'Tell when it may start' }).click();
  await expect.poll(() => double.entered.length, PATIENT).toBe(1);
  expect(double.entered[0]).toMatchObject({ kind: 'job-wait', name: 'the gear', grams: 120, hours: 2 });
  waiting = [
    {
      id: 'later',
      name: 'the gear',
      spool: 'gear',
      chamber: 'rig',
      grams: 120,
      hours: 2,
      chamberC: null,
      exitOpen: false,
      mayStart: { now: false, probability: 0.42 },
    },
  ];
  await page.reload();
  await page.getByText('Not yet: 4 in 10 if it started now.').waitFor();
  expect(await violations(page)).toEqual([]);
  waiting = [];
  await page.getByRole('button', { name: 'Wait no more the gear' }).click();
  await expect.poll(() => double.entered.at(-1), PATIENT).toEqual({ kind: 'job-drop', job: 'later' });
  await expect.poll(() => page.getByText('Waiting for spool and chamber').count(), PATIENT).toBe(0);
});
