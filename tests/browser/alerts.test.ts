import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, launchBrowser, TWO_LOOKS, takePicture } from './browser.ts';
import { DRY, FAULT, HEATING, LID, NEAR, PASSED, PAST, SETTINGS } from './invented-alerts.ts';
import { BOX, benchOf, CABINET, MORNING, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import { sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
beforeAll(async () => {
  browser = await launchBrowser();
  const opened = NOW_MS - 5 * 3_600_000;
  double = await startBenchDouble({
    snapshot: benchOf(),
    history: (station, key, atMs) =>
      key !== 'opened'
        ? MORNING(station, key, atMs)
        : station === 'box' && Math.abs(atMs - opened) < 60_000
          ? 1
          : null,
  });
  double.answers['/api/receivers'] = () => ({ body: { receivers: [] } });
  double.answers['/api/alerts/history'] = () => ({ body: PAST });
  double.answers['/api/alerts/settings'] = () => ({ body: SETTINGS });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const WIDE = { width: 1280, scheme: 'light' } as const;
const ALL = [PASSED, HEATING, FAULT, LID, NEAR, DRY];

for (const look of LOOKS)
  test(`alarms in their place, ${look.width} px, ${look.scheme}`, async () => {
    double.snapshot = benchOf(undefined, { alerts: ALL });
    const { page, complaints } = await visit(browser, look, double.url);
    await page.locator('.alerts ol .al').first().waitFor();
    await page.locator('.alerts summary').click();
    await page.locator('.past tbody tr').nth(2).waitFor();
    await takePicture(page, `alerts-${look.width}-${look.scheme}`);
    expect(await sidewaysPx(page)).toBeLessThanOrEqual(0);
    // State is told by mark and word, not by colour.
    const marks = await page.locator('.alerts ol .al').allInnerTexts();
    expect(marks.map((text) => text.slice(0, 2).trim())).toEqual(['▲', '▲', '△', '▽', '❙❙']);
    expect(marks[0]).toContain('Ceiling passed, active.');
    expect(marks[4]).toContain('Shelved until 13:40: “trying a hotter bed”.');
    expect(await page.locator('#alerts .aside').textContent()).toBe(
      '2 active, 1 acknowledged, 1 over, 1 shelved',
    );
    expect(await page.locator('.alerts .news').textContent()).toContain('“gear” is dry.');
    // In the lanes: the box's lid, and the alarms of box and chamber, by shape; in words in the table.
    await expect
      .poll(() => page.locator('[data-lane=upper] .happened:not(.alarm)').count())
      .toBeGreaterThan(0);
    expect(await page.locator('.happened.alarm').count()).toBeGreaterThanOrEqual(2);
    await page.getByText('The chart as a table').click();
    await page.getByText(/^lid opened 07:(09|10)$/).waitFor();
    await page.getByText('11:45: Ceiling passed, active.').waitFor();
    await page.getByText('The chart as a table').click();
    // At their station: those that stand and are not put aside.
    expect(await page.locator('.stations .al').count()).toBe(3);
    expect(await page.locator('.needs-you').textContent()).toContain('passed its ceiling of 60 °C');
    expect(complaints).toEqual([]);
    if (look === LOOKS[0] || look === LOOKS[3]) expect(await violations(page)).toEqual([]);
  });

test('a banner stands only for what needs somebody now, and on every screen', async () => {
  double.snapshot = benchOf(undefined, { alerts: [HEATING, LID, DRY] });
  const { page } = await visit(browser, WIDE, double.url);
  await page.locator('.alerts ol .al').first().waitFor();
  expect(await page.locator('.needs-you').count()).toBe(0);
  await page.getByRole('link', { name: 'Setup' }).click();
  await page.locator('#levels').waitFor();
  double.send({ atMs: NOW_MS + 1000, alerts: [PASSED, HEATING] });
  await page.locator('.needs-you').waitFor();
  double.send({ atMs: NOW_MS + 2000, alerts: [{ ...PASSED, state: 'acknowledged' }, HEATING] });
  await page.locator('.needs-you').waitFor({ state: 'detached' });
});

test('by the keyboard alone: acknowledge, shelve for four hours with a reason, leave by Escape', async () => {
  double.snapshot = benchOf(undefined, { alerts: [HEATING, LID] });
  const { page } = await visit(browser, WIDE, double.url);
  double.acted.length = 0;
  const acknowledge = page.getByRole('button', { name: 'Acknowledge: Heating lost' });
  await acknowledge.focus();
  await page.keyboard.press('Enter');
  await expect
    .poll(() => double.acted)
    .toEqual([{ path: '/api/alerts/acknowledge', body: { ids: [HEATING.id] } }]);
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  const form = page.getByRole('form', { name: 'Shelve: Heating lost' });
  await form.getByLabel('For').selectOption('240');
  await form.getByLabel('Why').fill('new fuse is on its way');
  await page.keyboard.press('Enter');
  await expect
    .poll(() => double.acted.at(-1))
    .toEqual({
      path: '/api/alerts/shelve',
      body: { id: HEATING.id, minutes: 240, reason: 'new fuse is on its way' },
    });
  await form.waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Shelve: Heating lost' }).press('Enter');
  await form.getByLabel('Why').press('Escape');
  await form.waitFor({ state: 'detached' });
});

test('the focus stays in its row, goes to the next when the row goes, and to the heading when none is left', async () => {
  double.snapshot = benchOf(undefined, { alerts: [HEATING, LID, NEAR] });
  const { page } = await visit(browser, WIDE, double.url);
  const holds = () =>
    page.evaluate<string>(
      `document.activeElement.dataset.alert ?? document.activeElement.getAttribute('aria-label') ?? document.activeElement.id`,
    );
  await page.getByRole('button', { name: 'Acknowledge: Heating lost' }).press('Enter');
  const acknowledged = { ...HEATING, state: 'acknowledged' } as const;
  double.send({ atMs: NOW_MS + 1000, alerts: [acknowledged, LID, NEAR] });
  await expect.poll(holds).toBe(HEATING.id);
  await page.keyboard.press('Tab');
  expect(await holds()).toBe('Shelve: Heating lost');
  // The form takes the button's place, and the button the form's.
  await page.keyboard.press('Enter');
  await expect.poll(() => page.evaluate('document.activeElement.tagName')).toBe('SELECT');
  await page.keyboard.press('Escape');
  await expect.poll(holds).toBe('Shelve: Heating lost');
  double.send({ atMs: NOW_MS + 2000, alerts: [LID, NEAR] });
  await expect.poll(holds).toBe(LID.id);
  double.send({ atMs: NOW_MS + 3000, alerts: [] });
  await expect.poll(holds).toBe('alerts');
  // A focus that was taken elsewhere is not brought back.
  double.send({ atMs: NOW_MS + 4000, alerts: [HEATING] });
  await page.getByRole('button', { name: 'Acknowledge: Heating lost' }).focus();
  await page.getByRole('link', { name: 'Bench', exact: true }).focus();
  double.send({ atMs: NOW_MS + 5000, alerts: [] });
  await page.locator('.alerts ol').waitFor({ state: 'detached' });
  expect(await holds()).toBe('');
});

test('what was, by kind and place', async () => {
  double.snapshot = benchOf(undefined, { alerts: [] });
  const { page } = await visit(browser, WIDE, double.url);
  await page.locator('.alerts summary').click();
  await page.locator('.past tbody tr').nth(2).waitFor();
  expect(await page.locator('.past tbody tr').first().textContent()).toContain('Lid or door open, over');
  double.acted.length = 0;
  await page.getByLabel('Kind').selectOption('heating-lost');
  await page.getByLabel('Place').selectOption('box');
  await page.getByRole('button', { name: 'Older ones' }).click();
  await expect
    .poll(() => double.acted.at(-1)?.path)
    .toBe('/api/alerts/history?limit=50&rule=heating-lost&station=box&before=28');
});

for (const look of TWO_LOOKS)
  test(`quiet hours and delays in Setup, ${look.width} px`, async () => {
    // The invented day is 4 March 2026.
    double.snapshot = benchOf([
      { ...BOX, calibratedOn: '2025-02-20' },
      { ...RIG, calibratedOn: '2025-04-01' },
      ROOM,
      CABINET,
    ]);
    const { page, complaints } = await visit(browser, look, `${double.url}setup`);
    await page.locator('#levels').waitFor();
    expect(await page.getByText(/^▲ The calibration of/).allTextContents()).toEqual([
      '▲ The calibration of box is of 2025-02-20, more than a year ago, and sensors drift: calibrate it again.',
    ]);
    await takePicture(page, `alert-levels-${look.width}-${look.scheme}`);
    double.acted.length = 0;
    await page.getByLabel('called after, min').fill('20');
    await page.getByLabel('called after, min').press('Enter');
    await expect
      .poll(() => double.acted.at(-1))
      .toMatchObject({
        path: '/api/alerts/settings',
        body: {
          quietHours: { zone: 'Europe/Berlin', from: '22:00', to: '07:00' },
          rules: [{ rule: 'heating-lost', station: null, onDelayS: 1200, offDelayS: 600, level: 5 }],
        },
      });
    expect(await sidewaysPx(page)).toBeLessThanOrEqual(0);
    expect(complaints).toEqual([]);
    const found = await violations(page);
    expect(found).toEqual([]);
  });

test('the browser’s own notification comes for a new alarm, once, and not for what stood there already', async () => {
  double.snapshot = benchOf(undefined, { alerts: [LID, FAULT, HEATING] });
  const { page } = await visit(browser, WIDE, double.url);
  await page.evaluate(`localStorage.setItem('lowdew.voice', '{"sound":false,"notices":true}')`);
  await page.context().grantPermissions(['notifications'], { origin: double.url.slice(0, -1) });
  await page.addInitScript(`
    globalThis.shown = [];
    class Told { static permission = 'granted'; constructor(title, { tag }) { shown.push([title, tag]); } }
    globalThis.Notification = Told;`);
  await page.reload();
  await page.locator('.alerts ol .al').first().waitFor();
  double.send({ atMs: NOW_MS + 1000, alerts: [PASSED, HEATING] });
  double.send({ atMs: NOW_MS + 2000, alerts: [{ ...PASSED, text: 'It is at 61.4 °C.' }, HEATING] });
  await page.locator('.needs-you').waitFor();
  await expect.poll(() => page.evaluate('shown')).toEqual([[PASSED.headline, PASSED.id]]);
  double.send({ atMs: NOW_MS + 3000, alerts: [HEATING] });
  await page.locator('.needs-you').waitFor({ state: 'detached' });
  expect(await page.evaluate('shown')).toEqual([[PASSED.headline, PASSED.id]]);
});
