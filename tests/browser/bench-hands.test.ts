import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, launchBrowser } from './browser.ts';
import { benchOf, MORNING, NOW_MS } from './invented-bench.ts';
import { visit } from './looking.ts';

const HOUR = 3_600_000;
let browser: Browser;
let double: BenchDouble;
const [WIDE] = LOOKS;
const NARROW = LOOKS.find((look) => look.width === 390 && look.scheme === 'light');
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: MORNING });
});
beforeEach(() => {
  double.asked.length = 0;
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const slider = (page: Page) => page.getByRole('slider', { name: 'Look at another time' });
const told = async (page: Page): Promise<string> =>
  ((await slider(page).getAttribute('aria-valuetext')) ?? '').replaceAll('\u00a0', ' ');
const pressed = (page: Page) => page.locator('.spans button[aria-pressed=true]').textContent();
/** Spans of the plate's history questions, in hours. */
const askedHours = (): number[] =>
  double.asked
    .filter((url) => url.searchParams.get('keys')?.includes('vapour_low'))
    .map((url) => (Number(url.searchParams.get('toMs')) - Number(url.searchParams.get('fromMs'))) / HOUR);
const drawn = (page: Page) => page.locator('.stations .sp path').first().waitFor();

test('the keyboard alone reaches everything, reads another time, zooms and comes back', async () => {
  const { page } = await visit(browser, WIDE!, double.url);
  await drawn(page);
  const walked: string[] = [];
  for (let step = 0; step < 16; step++) {
    await page.keyboard.press('Tab');
    walked.push(
      await page.evaluate<string>(
        "document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent",
      ),
    );
  }
  // First the other screens, then the plate. Buttons that would do nothing now (later, to now) are passed over.
  const plate = walked.indexOf('Look at another time');
  expect(walked[0]).toBe('Bench');
  expect(walked.slice(plate, plate + 9)).toEqual([
    'Look at another time',
    '10 min',
    '1 h',
    '6 h',
    '1 d',
    '7 d',
    '31 d',
    'earlier',
    'The chart as a table',
  ]);
  expect(
    await page.evaluate(
      "getComputedStyle(document.querySelector('.surface:focus-visible') ?? document.body).outlineStyle",
    ),
  ).toBe('none');

  await slider(page).focus();
  expect(await page.evaluate("getComputedStyle(document.querySelector('.surface')).outlineStyle")).toBe(
    'solid',
  );
  expect(await told(page)).toMatch(
    /^12:10, now: the drying box 10\.\d g\/m³ \(\d\.\d–1\d\.\d\); room 8\.\d g\/m³; the chamber 52\.\d °C/,
  );
  await page.keyboard.press('ArrowLeft');
  expect(await told(page)).toMatch(/^12:00, from readings/);
  await page.keyboard.press('PageDown');
  expect(await told(page)).toMatch(/^11:00, from readings/);
  expect((await page.locator('.reads').first().textContent())?.replaceAll('\u00a0', ' ')).toBe(
    await told(page),
  );
  await page.keyboard.press('Home');
  expect(await told(page)).toMatch(/^0[67]:\d\d, from readings/);
  await page.keyboard.press('End');
  expect(await told(page)).toMatch(/^12:1\d, (now|from readings)/);
  await page.keyboard.press('Escape');
  expect(await told(page)).toMatch(/^12:10, now/);

  await page.keyboard.press('+');
  await expect.poll(() => pressed(page)).toBe('1 h');
  await page.keyboard.press('Shift+ArrowLeft');
  await expect.poll(() => page.getByRole('button', { name: 'to now' }).isEnabled()).toBe(true);
  await page.keyboard.press('0');
  await expect.poll(() => page.getByRole('button', { name: 'to now' }).isEnabled()).toBe(false);
  await page.keyboard.press('-');
  await page.keyboard.press('-');
  await expect.poll(() => pressed(page)).toBe('1 d');

  await page.getByText('The chart as a table').focus();
  await page.keyboard.press('Enter');
  await expect.poll(() => page.locator('.tab tbody tr').count()).toBe(13);
  expect(await page.locator('.tab tbody tr').nth(11).locator('td').first().textContent()).toMatch(
    /^1\d\.\d \(\d\.\d–1\d\.\d\)$/,
  );
});

test('each span fetches only what it shows', async () => {
  const { page } = await visit(browser, WIDE!, double.url);
  await drawn(page);
  await expect.poll(() => askedHours().length).toBe(1);
  expect(askedHours()[0]).toBeGreaterThan(4.9);
  expect(askedHours()[0]).toBeLessThanOrEqual(5.6);
  for (const [name, hours] of [
    ['10 min', 1 / 6],
    ['31 d', 744],
  ] as const) {
    const before = askedHours().length;
    await page.getByRole('button', { name, exact: true }).click();
    await expect.poll(() => askedHours().length).toBe(before + 1);
    const asked = askedHours().at(-1)!;
    expect(asked).toBeLessThanOrEqual(hours);
    expect(asked).toBeGreaterThan(0.8 * hours);
  }
  const last = double.asked.at(-1)!.searchParams;
  expect(Number(last.get('buckets'))).toBeLessThanOrEqual(1200);
});

test('the mouse reads, drags, and zooms with the wheel over the ruler; over a lane the wheel is the page’s', async () => {
  const { page } = await visit(browser, WIDE!, double.url);
  await drawn(page);
  const box = (await slider(page).boundingBox())!;
  const ruler = (await page.locator('.strip').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + 60);
  expect(await page.locator('.reads').first().textContent()).toMatch(/^\d\d:\d\d, from readings/);
  await page.mouse.wheel(0, 300);
  await expect.poll(() => page.evaluate('scrollY')).toBeGreaterThan(0);
  expect(await pressed(page)).toBe('6 h');
  await page.evaluate('scrollTo(0, 0)');

  await page.mouse.move(ruler.x + ruler.width / 2, ruler.y + 10);
  await page.mouse.wheel(0, -400);
  await expect.poll(() => page.locator('.spans button[aria-pressed=true]').count()).toBe(0);
  expect(await page.evaluate('scrollY')).toBe(0);

  const before = await page.getByRole('button', { name: 'earlier' }).count();
  expect(before).toBe(1);
  await page.mouse.move(box.x + 300, box.y + 60);
  await page.mouse.down();
  await page.mouse.move(box.x + 600, box.y + 60, { steps: 5 });
  await page.mouse.up();
  await expect.poll(() => page.getByRole('button', { name: 'to now' }).isEnabled()).toBe(true);
  await page.getByRole('button', { name: 'to now' }).click();
  await expect.poll(() => page.getByRole('button', { name: 'to now' }).isEnabled()).toBe(false);
});

test('a finger reads on a lane, moves the ruler, and two fingers zoom', async () => {
  const { page } = await visit(browser, NARROW!, double.url);
  await drawn(page);
  await page.locator('.strip').scrollIntoViewIfNeeded();
  const box = (await slider(page).boundingBox())!;
  const ruler = (await page.locator('.strip').boundingBox())!;
  const fingers = await page.context().newCDPSession(page);
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', points: [number, number][]) =>
    fingers.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: points.map(([x, y], id) => ({ x, y, id })),
    });
  await touch('touchStart', [[box.x + 100, box.y + 80]]);
  await touch('touchMove', [[box.x + 140, box.y + 80]]);
  await expect.poll(() => page.locator('.reads').first().textContent()).toMatch(/from readings/);
  await touch('touchEnd', []);
  expect(await page.getByRole('button', { name: 'to now' }).isEnabled()).toBe(false);

  const y = ruler.y + ruler.height / 2;
  await touch('touchStart', [[box.x + 60, y]]);
  for (let x = 70; x <= 260; x += 20) await touch('touchMove', [[box.x + x, y]]);
  await touch('touchEnd', []);
  await expect.poll(() => page.getByRole('button', { name: 'to now' }).isEnabled()).toBe(true);

  await touch('touchStart', [
    [box.x + 120, y],
    [box.x + 200, y],
  ]);
  for (let spread = 10; spread <= 100; spread += 10)
    await touch('touchMove', [
      [box.x + 120 - spread, y],
      [box.x + 200 + spread, y],
    ]);
  await touch('touchEnd', []);
  await expect.poll(() => page.locator('.spans button[aria-pressed=true]').count()).toBe(0);
  const heights = await page.evaluate<number[]>(
    "[...document.querySelectorAll('.spans button')].map((button) => button.offsetHeight)",
  );
  expect(Math.min(...heights)).toBeGreaterThanOrEqual(44);
});

test('who hears the page finds a heading, a slider, tables and their rows, also at phone width', async () => {
  const { page } = await visit(browser, NARROW!, double.url);
  await drawn(page);
  await expect.poll(() => page.getByRole('heading', { level: 1 }).count()).toBe(1);
  expect(await page.getByRole('main').count()).toBe(1);
  expect(await page.getByRole('contentinfo').count()).toBe(1);
  expect(await page.getByRole('status').textContent()).toContain('Four stations are heard');
  const table = page.getByRole('table', { name: 'Stations' });
  expect(await table.getByRole('row').count()).toBeGreaterThanOrEqual(4);
  expect(await table.getByRole('rowheader', { name: 'box' }).count()).toBe(1);
  const figure = page.getByRole('figure');
  expect(await figure.getAttribute('aria-label')).toMatch(
    /^Water in the drying box air and Chamber air, from 0\d:\d\d to 1\d:\d\d; now is 12:10\./,
  );
  expect(NOW_MS).toBe(double.snapshot.atMs);
});
