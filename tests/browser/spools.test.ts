import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import type { DiaryEntry } from '../../server/api/messages-diary.ts';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, type Look, launchBrowser, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import { dryingOf, levelOf, quantiles, SPOOL_MORNING, spoolOf } from './invented-spool.ts';
import { heading, sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
const WIDE = LOOKS[0]!;
const ATTIC = { ...BOX, id: 'attic', role: 'storage' as const, values: { t: 21.3, rh: 18.2 } };
const KEPT = spoolOf({
  id: 'hinge',
  station: 'attic',
  materialKey: 'pa12',
  materialName: 'Polyamide 12',
  netMassG: 520,
  limitWtPercent: 0.1,
  limitKind: 'own',
  drying: dryingOf({
    ...levelOf(quantiles(0.11, 0.16, 0.24), quantiles(0.2, 0.3, 0.4)),
    state: 'holding',
    readyOuterG: quantiles(0, 0, 40),
    runStartMs: null,
  }),
});
const MINUTE = 60_000;
let diary: DiaryEntry[] = [];
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: SPOOL_MORNING });
});
beforeEach(() => {
  double.snapshot = benchOf([BOX, ATTIC, RIG, ROOM, CABINET], { spools: [spoolOf(), KEPT] });
  double.refusal = null;
  double.entered.length = 0;
  diary = [
    { number: 1, atMs: NOW_MS - 480 * MINUTE, kind: 'spool-in', undone: false },
    { number: 2, atMs: NOW_MS - 400 * MINUTE, kind: 'weigh-in', massG: 1161, resolutionG: 1, undone: false },
    {
      number: 3,
      atMs: NOW_MS - 120 * MINUTE,
      kind: 'weigh-in',
      massG: 1154.5,
      resolutionG: 0.5,
      undone: false,
    },
  ];
  double.answers['/api/diary'] = () => ({ body: { entries: diary } });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const plain = (text: string | null): string => (text ?? '').replaceAll(/[\u00a0\u2009]/g, ' ');
const ready = (page: Page) => page.locator('.life .wl').first().waitFor();

const ROWS: readonly (readonly [look: Look, checked: boolean])[] = LOOKS.map((look, index) => [
  look,
  index % 3 === 0,
]);
test.each(ROWS)(
  'one line a spool, with its life as a strip, and its diary behind its name, %o',
  async (look, checked) => {
    const { page, complaints } = await visit(browser, look, `${double.url}spools?open=gear`);
    await ready(page);
    await page.locator('.diary li').first().waitFor();
    expect(await heading(page)).toBe('One of two spools can be printed from.');
    const rows = page.locator('.spool-row');
    expect(plain(await rows.nth(0).textContent())).toContain('20 g counted on, 60 g likely');
    expect(plain(await rows.nth(1).textContent())).toContain('kept, not dried, 0.16 % (0.11–0.24)');
    expect(await page.locator('.life').first().getAttribute('aria-label')).toMatch(
      /^Moisture over the last day, from [\d.]+\u00a0% to 0\.3\d\u00a0%$/,
    );
    await takePicture(page, `spools-${look.width}-${look.scheme}`);
    expect(await sidewaysPx(page)).toBe(0);
    if (checked) expect(await violations(page)).toEqual([]);
    expect(complaints).toEqual([]);
  },
);

test('the diary tells newest first what was entered and what each weigh-in changed', async () => {
  const { page } = await visit(browser, WIDE, `${double.url}spools`);
  await ready(page);
  const button = page.getByRole('button', { name: 'gear', exact: true });
  expect(await button.getAttribute('aria-expanded')).toBe('false');
  await button.press('Enter');
  await page.locator('.diary li em').nth(1).waitFor();
  expect(await button.getAttribute('aria-expanded')).toBe('true');
  expect(new URL(page.url()).search).toBe('?open=gear');
  const told = (await page.locator('.diary li').allTextContents()).map(plain);
  expect(told[0]).toMatch(/^10:10weighed 1154\.5 g, scale step 0\.5 g/);
  await expect
    .poll(async () => plain(await page.locator('.diary li').first().textContent()))
    .toMatch(/Band \d\.\d+–\d\.\d+ % before, \d\.\d+–\d\.\d+ % after: /);
  expect(told[1]).toContain('A first weigh-in says nothing by itself');
  expect(told[2]).toContain('spool put in');
});

test('a weigh-in typed wrongly is taken back, and is shown to be', async () => {
  const { page } = await visit(browser, WIDE, `${double.url}spools?open=gear`);
  await ready(page);
  const undo = page.getByRole('button', { name: 'Take this weigh-in back' });
  expect(await undo.count()).toBe(1);
  double.answers['/api/diary'] = () => ({
    body: {
      entries: [
        ...diary.map((entry) => (entry.number === 3 ? { ...entry, undone: true } : entry)),
        { number: 4, atMs: NOW_MS, kind: 'weigh-in-undone', undone: false },
      ],
    },
  });
  await undo.click();
  await page.getByText('Taken back: from the next fit on it counts no more.').waitFor();
  expect(double.entered).toEqual([{ kind: 'weigh-in-undone', spool: 'gear' }]);
  await expect
    .poll(async () => plain(await page.locator('.diary s').first().textContent()))
    .toContain('weighed 1154.5 g');
});

test('what is entered in place stands in the diary at once', async () => {
  const { page } = await visit(browser, WIDE, `${double.url}spools?open=hinge`);
  await ready(page);
  await page.locator('#diary-hinge').getByLabel('Weigh-in with reel').fill('731');
  double.answers['/api/diary'] = () => ({
    body: {
      entries: [{ number: 9, atMs: NOW_MS, kind: 'weigh-in', massG: 731, resolutionG: 1, undone: false }],
    },
  });
  await page.getByRole('button', { name: 'Enter weight' }).click();
  await expect
    .poll(() => double.entered)
    .toEqual([{ kind: 'weigh-in', spool: 'hinge', massG: 731, resolutionG: 1 }]);
  await expect
    .poll(async () => plain(await page.locator('.diary li').first().textContent()))
    .toContain('weighed 731 g');
});

test('a bench without spools says how to describe one; a quiet one claims no grams', async () => {
  double.snapshot = benchOf();
  const { page } = await visit(browser, WIDE, `${double.url}spools`);
  await page.getByRole('heading', { name: 'No spool is described yet.' }).waitFor();
  double.snapshot = benchOf([{ ...BOX, quiet: true, heardMs: NOW_MS - 371_000 }, RIG, ROOM], {
    spools: [spoolOf()],
  });
  await page.reload();
  await page.getByRole('heading', { name: 'No spool has filament that can be counted on.' }).waitFor();
  expect(plain(await page.locator('.spool-row').textContent())).toContain('▲ quiet for 6 min');
  expect(plain(await page.locator('.spool-row').textContent())).not.toContain('counted on');
});
