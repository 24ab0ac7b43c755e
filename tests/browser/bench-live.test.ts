import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import type { Point } from '../../server/api/messages.ts';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, launchBrowser } from './browser.ts';
import { BOX, benchOf, MORNING, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import { axisHeight, heading, nowPx, paintedHeights, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
const [WIDE] = LOOKS;
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: MORNING });
});
beforeEach(() => {
  double.snapshot = benchOf();
  double.history = MORNING;
  double.asked.length = 0;
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const chamber = (atMs: number, value: number): Point => ({ station: 'rig', key: 't', atMs, value });

test('a reading travels from the socket to a figure and to a pixel at its height', async () => {
  double.history = () => null;
  double.snapshot = benchOf([RIG]);
  const { page } = await visit(browser, WIDE!, double.url);
  await page.locator('[data-lane=lower]').getByText('No reading in this span').waitFor();
  const points: Point[] = [];
  for (let atMs = NOW_MS - 1_800_000; atMs <= NOW_MS; atMs += 5000) points.push(chamber(atMs, 41));
  double.send({
    atMs: NOW_MS,
    points,
    stations: [{ ...RIG, intervalMs: 5000, values: { t: 41.2, rh: 8.5 } }],
  });
  await page.locator('[data-station=rig]').getByText('41.2').waitFor();
  await page.locator('[data-lane=lower] .marks .ring').waitFor();
  // Half an hour of six: at a fortieth of the width before now the line must stand at 41 °C.
  const width = await page.evaluate<number>("document.querySelector('.strip').clientWidth");
  const expectedY = await axisHeight(page, 'lower', 41);
  await expect
    .poll(async () => (await paintedHeights(page, 'lower', (await nowPx(page)) - width / 40)).length)
    .toBeGreaterThan(0);
  const painted = await paintedHeights(page, 'lower', (await nowPx(page)) - width / 40);
  expect(Math.min(...painted)).toBeGreaterThan(expectedY - 2.5);
  expect(Math.max(...painted)).toBeLessThan(expectedY + 2.5);
});

test('a gap is left open on the canvas, and a spike of a few seconds in six hours stands out', async () => {
  const hoursAgo = (hours: number): number => NOW_MS - hours * 3_600_000;
  double.history = (station, key, atMs) => {
    if (station !== 'rig' || key !== 't' || (atMs > hoursAgo(3) && atMs < hoursAgo(2))) return null;
    return Math.abs(atMs - hoursAgo(4)) < 4000 ? 45 : 30;
  };
  const { page } = await visit(browser, WIDE!, double.url);
  await page.locator('[data-lane=lower] .marks .ring').waitFor();
  const width = await page.evaluate<number>("document.querySelector('.strip').clientWidth");
  const at = async (hours: number) =>
    paintedHeights(page, 'lower', (await nowPx(page)) - (width * hours) / 6);
  await expect.poll(async () => (await at(1)).length).toBeGreaterThan(0);
  for (const hours of [2.1, 2.5, 2.9]) expect(await at(hours)).toEqual([]);
  const [calm, spike] = [await axisHeight(page, 'lower', 30), await axisHeight(page, 'lower', 45)];
  expect(Math.min(...(await at(5)))).toBeGreaterThan(calm - 3);
  const minutes = [-0.5, 0, 0.5].map((minute) => 4 + minute / 60);
  const heights = (await Promise.all(minutes.map(at))).flat();
  expect(Math.min(...heights)).toBeLessThan(spike + 4);
});

/** All is drawn, with the part of the page whose code comes last. */
async function whole(page: Page): Promise<void> {
  await page.locator('.stations .sp path').first().waitFor();
  await page.locator('.sources').waitFor();
}

test('after the server was away, the page comes back by itself and fetches just what it missed', async () => {
  const { page } = await visit(browser, WIDE!, double.url);
  await page.locator('.stations .sp path').first().waitFor();
  await double.leave();
  await page.getByRole('heading', { name: 'no word from lowdew since 12:10' }).waitFor();
  expect(await page.title()).toContain('no word from lowdew');
  double.asked.length = 0;
  double.snapshot = { ...double.snapshot, atMs: NOW_MS + 600_000 };
  double.comeBack();
  await page.getByRole('heading', { name: 'Four stations are heard' }).waitFor();
  await expect
    .poll(() => double.asked.filter((url) => url.searchParams.get('keys')?.includes('vapour_low')).length)
    .toBe(1);
  const hole = double.asked.find((url) => url.searchParams.get('keys')?.includes('vapour_low'))!.searchParams;
  expect(Number(hole.get('fromMs'))).toBeLessThanOrEqual(NOW_MS);
  expect(Number(hole.get('fromMs'))).toBeGreaterThan(NOW_MS - 120_000);
  expect(Number(hole.get('toMs'))).toBeCloseTo(NOW_MS + 600_000, -4);
});

test('a message that was skipped makes it ask for a new snapshot', async () => {
  const { page } = await visit(browser, WIDE!, double.url);
  await page.locator('.stations .sp path').first().waitFor();
  const again = double.nextConnection();
  double.send({ atMs: NOW_MS + 1000, stations: [{ ...ROOM, values: { t: 1, rh: 1 } }] }, 4);
  await again;
  double.snapshot = benchOf([BOX, RIG, { ...ROOM, values: { t: 23.9, rh: 40 } }]);
  double.send({ atMs: NOW_MS + 2000, stations: [{ ...ROOM, values: { t: 23.9, rh: 40 } }] });
  await page.locator('[data-station=room]').getByText('23.9').waitFor();
});

test('a hidden page draws nothing, keeps its title, and is whole the moment it is looked at', async () => {
  const context = await browser.newContext({ locale: 'en-US', timezoneId: 'Europe/Berlin' });
  await context.addInitScript(
    "Object.defineProperty(document, 'hidden', { get: () => globalThis.isHidden === true }); globalThis.isHidden = false;",
  );
  const page = await context.newPage();
  let received = 0;
  page.on('websocket', (socket) => {
    socket.on('framereceived', () => {
      received++;
    });
  });
  await page.goto(double.url);
  await whole(page);
  await page.evaluate("isHidden = true; document.dispatchEvent(new Event('visibilitychange'));");
  // Counts every change that the page makes to its own tree while nobody looks.
  await page.evaluate(
    "globalThis.made = 0; new MutationObserver((all) => { made += all.length; }).observe(document.querySelector('#page'), { subtree: true, childList: true, characterData: true, attributes: true });",
  );
  for (let n = 1; n <= 40; n++)
    double.send({
      atMs: NOW_MS + n * 50,
      points: [chamber(NOW_MS + n * 50, 50 + n / 10)],
      stations: [{ ...RIG, values: { t: 50 + n / 10 } }],
    });
  double.send({ atMs: NOW_MS + 3000, stations: [{ ...BOX, values: { t: 61.5, rh: 3 } }] });
  // All are there (and the snapshot); none has been drawn.
  await expect.poll(() => received).toBe(42);
  expect(await page.evaluate('made')).toBe(0);
  await expect.poll(() => page.title(), { timeout: 6000 }).toContain('the drying box is at 61.5\u00a0°C');
  double.send({ atMs: NOW_MS + 4000, stations: [{ ...BOX, values: { t: 62.5, rh: 3 } }] });
  await expect.poll(() => received).toBe(43);
  await page.evaluate("isHidden = false; document.dispatchEvent(new Event('visibilitychange'));");
  await expect.poll(() => heading(page), { timeout: 1000 }).toContain('62.5 °C');
  await context.close();
});

test('figures that change move nothing else on the page', async () => {
  const { page } = await visit(browser, WIDE!, double.url);
  await whole(page);
  const places = () =>
    page.evaluate<string>(
      "JSON.stringify([...document.querySelectorAll('.stations th, .fig, section, .foot')].map((e) => { const b = e.getBoundingClientRect(); return [Math.round(b.left), Math.round(b.top), Math.round(b.width)]; }))",
    );
  const before = await places();
  double.send({
    atMs: NOW_MS + 1000,
    stations: [{ ...BOX, heardMs: NOW_MS - 3_590_000, values: { ...BOX.values, t: 100.25, rh: 10.1 } }],
  });
  await page.locator('[data-station=box]').getByText('100.3').waitFor();
  expect(await places()).toBe(before);
});
