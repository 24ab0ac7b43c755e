import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, launchBrowser, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import { clockMs, dryingOf, SPOOL_MORNING, spoolOf } from './invented-spool.ts';
import { nowPx, paintedHeights, violations, visit } from './looking.ts';

const HOUR = 3_600_000;
let browser: Browser;
let double: BenchDouble;
const WIDE = LOOKS[0]!;
const NARROW = LOOKS.find((look) => look.width === 390 && look.scheme === 'light')!;
const ALL = [BOX, RIG, ROOM, CABINET];
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: SPOOL_MORNING });
});
beforeEach(() => {
  double.snapshot = benchOf(ALL, { spools: [spoolOf()] });
  double.refusal = null;
  double.entered.length = 0;
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const plain = (text: string | null): string => (text ?? '').replaceAll(/[\u00a0\u2009]/g, ' ');
const slider = (page: Page) => page.getByRole('slider', { name: 'Look at another time' });
const said = async (page: Page): Promise<string> => plain(await page.locator('#entered').textContent());
const ready = (page: Page) => page.locator('.section').waitFor();

/** As the diary tells of it. */
const WEIGHED = {
  number: 1,
  atMs: NOW_MS - HOUR,
  kind: 'weigh-in',
  massG: 1185,
  resolutionG: 1,
  undone: false,
};

test('a weigh-in is typed, doubted, refused in words, and shows what was taken', async () => {
  const { page, complaints } = await visit(browser, WIDE, double.url);
  await ready(page);
  const field = page.getByLabel('Weigh-in with reel');
  await field.fill('much');
  await field.press('Enter');
  expect(await said(page)).toBe('Enter grams as a number, such as 742.5.');
  expect(await field.getAttribute('aria-invalid')).toBe('true');
  expect(double.entered).toEqual([]);

  await field.fill('212');
  await field.press('Enter');
  expect(await said(page)).toContain('Less than the 940 g of filament alone.');
  expect(double.entered).toEqual([]);
  double.refusal = {
    status: 507,
    body: { error: { code: 'not-kept', message: 'It could not be written to the disk.' } },
  };
  await field.press('Enter');
  await expect.poll(() => said(page)).toBe('Not taken: It could not be written to the disk.');
  expect(await field.inputValue()).toBe('212');
  expect(await violations(page)).toEqual([]);
  await takePicture(page, 'entry-refused-1280-light');

  double.refusal = null;
  double.answers['/api/diary'] = () => ({ body: { entries: [WEIGHED] } });
  await field.fill('1184,5');
  await page.getByLabel('scale step').selectOption('0.5');
  await page.getByRole('button', { name: 'Enter weight' }).click();
  await expect.poll(() => said(page)).toBe('Taken at 12:10: weighed 1184.5 g, scale step 0.5 g.');
  expect(await field.getAttribute('aria-invalid')).toBe('false');
  expect(await field.inputValue()).toBe('');
  expect(double.entered.at(-1)).toEqual({
    kind: 'weigh-in',
    spool: 'gear',
    massG: 1184.5,
    resolutionG: 0.5,
  });
  // The refusal is the only thing the browser complained of.
  expect(complaints.filter((complaint) => !complaint.includes('507'))).toEqual([]);
});

test('a weight far from the last one of the same spool is doubted once, and entered all the same', async () => {
  double.answers['/api/diary'] = () => ({ body: { entries: [WEIGHED] } });
  const { page } = await visit(browser, WIDE, double.url);
  await ready(page);
  const field = page.getByLabel('Weigh-in with reel');
  await field.fill('1485');
  await field.press('Enter');
  await expect.poll(() => said(page)).toContain('Far from the 1185 g it weighed last');
  expect(double.entered).toEqual([]);
  await field.press('Enter');
  await expect.poll(() => double.entered).toMatchObject([{ kind: 'weigh-in', massG: 1485 }]);
});

test('what happened is one press each, and the keyboard reaches all of it', async () => {
  const { page } = await visit(browser, NARROW, double.url);
  await ready(page);
  await page.getByLabel('Weigh-in with reel').focus();
  const walked: string[] = [];
  for (let step = 0; step < 5; step++) {
    await page.keyboard.press('Tab');
    walked.push(
      await page.evaluate<string>('document.activeElement.id || document.activeElement.textContent'),
    );
  }
  expect(walked).toEqual(['step', 'Enter weight', 'Lid opened', 'Taken out', 'Bagged']);
  await page.getByRole('button', { name: 'Lid opened' }).press('Enter');
  await expect.poll(() => said(page)).toBe('Taken at 12:10: lid opened.');
  expect(double.entered).toEqual([{ kind: 'lid', station: 'box' }]);
  const heights = await page.evaluate<number[]>(
    "[...document.querySelectorAll('.entry button, .entry input, .entry select')].map((e) => e.offsetHeight)",
  );
  expect(Math.min(...heights)).toBeGreaterThanOrEqual(44);

  double.send({ atMs: NOW_MS + 1000, spools: [spoolOf({ drying: dryingOf({ state: 'idle' }) })] });
  await page.getByRole('heading', { name: 'The gear spool is out of the drying box.' }).waitFor();
  await page.getByRole('button', { name: 'Put in' }).click();
  await expect.poll(() => double.entered.at(-1)).toEqual({ kind: 'spool-in', spool: 'gear' });
});

test('keys walk into the forecast, and the bar stands where the fan crosses the limit', async () => {
  const { page } = await visit(browser, WIDE, double.url);
  await ready(page);
  await page.locator('.stations .sp path').first().waitFor();
  await slider(page).focus();
  const now = () => slider(page).getAttribute('aria-valuetext').then(plain);
  await expect
    .poll(now)
    .toMatch(
      /^12:10, now: moisture 0\.34 % \(0\.28–0\.41\); wettest turn 0\.48 %; 20 g can be counted on, 60 g are likely; the chamber 5\d/,
    );
  for (let step = 0; step < 2; step++) await page.keyboard.press('PageUp');
  const told = plain(await slider(page).getAttribute('aria-valuetext'));
  expect(told).toMatch(/^Thu 00:10, forecast: moisture 0\.\d\d % \(0\.\d\d–0\.\d\d\)$/);
  await page.keyboard.press('Escape');

  const width = await page.evaluate<number>("document.querySelector('.strip').clientWidth");
  const nowX = await nowPx(page);
  const expected = (atMs: number): number => nowX + (width * (atMs - NOW_MS)) / (24 * HOUR);
  const left = await page.evaluate<number>("document.querySelector('.strip').getBoundingClientRect().left");
  const ring = (await page.locator('[data-lane=upper] .marks .ring').first().boundingBox())!;
  expect(Math.abs(ring.x + ring.width / 2 - left - expected(clockMs(16, 40)))).toBeLessThan(2);
  const bar = await page.evaluate<{ from: number; to: number }>(
    "(() => { const bar = document.querySelector('.bar'); return { from: Number(bar.getAttribute('x1')), to: Number(bar.getAttribute('x2')) }; })()",
  );
  expect(Math.abs(bar.from - expected(clockMs(14, 50)))).toBeLessThan(2);
  expect(Math.abs(bar.to - expected(clockMs(19, 50)))).toBeLessThan(2);
  // The fan's own pixels: at the bar's ends its edges lie on the limit line.
  const limitY = Number(await page.locator('[data-lane=upper] .marks line.lim').getAttribute('y1'));
  await expect.poll(async () => (await paintedHeights(page, 'upper', bar.from)).length).toBeGreaterThan(0);
  expect(Math.abs(Math.max(...(await paintedHeights(page, 'upper', bar.from))) - limitY)).toBeLessThan(3);
  expect(Math.abs(Math.min(...(await paintedHeights(page, 'upper', bar.to))) - limitY)).toBeLessThan(3);
});

test('the moment the box falls quiet, forecast and times are gone from page and title', async () => {
  const { page } = await visit(browser, WIDE, double.url);
  await ready(page);
  const now = await nowPx(page);
  await expect.poll(async () => (await paintedHeights(page, 'upper', now + 120)).length).toBeGreaterThan(0);
  expect(await page.title()).toContain('14:50');
  const before = await page.locator('.fig').boundingBox();
  double.send({ atMs: NOW_MS + 1000, stations: [{ ...BOX, quiet: true, heardMs: NOW_MS - 2000 }] });
  await page.getByRole('heading', { name: 'Cannot tell: the drying box has been quiet' }).waitFor();
  await expect.poll(async () => (await paintedHeights(page, 'upper', now + 120)).length).toBe(0);
  expect(await page.locator('[data-lane=upper] .marks rect[fill="url(#broken)"]').count()).toBe(1);
  expect(await page.title()).not.toContain('14:50');
  // The plate keeps its place and its span: only the claims are gone.
  expect((await page.locator('.fig').boundingBox())?.width).toBe(before?.width);
  expect(Math.abs((await nowPx(page)) - now)).toBeLessThan(2);
  double.send({ atMs: NOW_MS + 2000, stations: [BOX] });
  await page.getByRole('heading', { name: 'Not yet. The gear spool is dry on average between' }).waitFor();
});

test('the winding and the plate are there as tables, the forecast named as such', async () => {
  const { page } = await visit(browser, WIDE, double.url);
  await ready(page);
  await page.getByText('The winding as a table').click();
  const winding = page.getByRole('table', { name: 'Moisture from the outside to the hub' });
  // Fetched when it is first unfolded.
  await winding.waitFor();
  expect(await winding.getByRole('row').count()).toBe(7);
  expect(plain(await winding.getByRole('row').nth(1).textContent())).toMatch(
    /^0–\d{3}0\.18 \(0\.15–0\.22\)outermost$/,
  );
  await page.getByText('The chart as a table').click();
  const plate = page.getByRole('table', { name: 'The span shown' });
  await plate.waitFor();
  const last = plain(await plate.getByRole('row').last().textContent());
  expect(last).toMatch(/0\.\d\d \(0\.\d\d–0\.\d\d\).*forecast$/);
});
