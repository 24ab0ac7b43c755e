import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { startProgram } from '../flows/program.ts';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, launchBrowser } from './browser.ts';
import { BOX, benchOf, MORNING, ROOM } from './invented-bench.ts';
import { sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
const WIDE = LOOKS[0]!;
const NARROW = LOOKS.find((look) => look.width === 390 && look.scheme === 'dark')!;
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({
    snapshot: benchOf([BOX, ROOM], { speed: 60, simulated: { scenario: 'a story', speed: 60 } }),
    history: MORNING,
  });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const links = (page: Page) => page.getByRole('navigation', { name: 'Screens' });
const current = (page: Page): Promise<string | null> =>
  links(page).locator('a[aria-current=page]').textContent();

test('links lead to screens that survive reload and back, each with its title and SIMULATED', async () => {
  // All screens there are, as the program itself serves them.
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-shell-'));
  const program = startProgram(['run', '--past', '0', '--data', folder, '--listen', '127.0.0.1:0']);
  onTestFinished(async () => {
    program.child.kill('SIGTERM');
    await program.ended();
    rmSync(folder, { recursive: true, force: true });
  });
  const [url] = await program.says(/http:\/\/127\.0\.0\.1:\d+/);
  const { page, complaints } = await visit(browser, WIDE, url);
  await page.locator('.stations').waitFor();
  expect(await current(page)).toBe('Bench');
  const names = await links(page).getByRole('link').allTextContents();
  expect(names.length).toBeGreaterThan(1);
  for (const name of names) {
    await links(page).getByRole('link', { name }).click();
    await page.getByRole('main', { name }).locator('h1').first().waitFor();
    expect(await current(page)).toBe(name);
    await expect.poll(() => page.title()).toMatch(new RegExp(`^SIMULATED · ${name} · lowdew · `));
    expect(await page.getByText('SIMULATED', { exact: true }).isVisible()).toBe(true);
  }
  const last = names.at(-1)!;
  await page.reload();
  await page.getByRole('main', { name: last }).locator('h1').first().waitFor();
  await page.goBack();
  await page
    .getByRole('main', { name: names.at(-2)! })
    .locator('h1')
    .first()
    .waitFor();
  expect(complaints).toEqual([]);
});

test('the current screen is marked by more than colour, and the keyboard goes on from its top', async () => {
  const { page } = await visit(browser, WIDE, double.url);
  await page.locator('.stations').waitFor();
  const looks = await page.evaluate<string[]>(
    "[...document.querySelectorAll('nav[aria-label=Screens] a')].map((a) => getComputedStyle(a).fontWeight + ' ' + getComputedStyle(a).borderBottomColor)",
  );
  const [first, ...others] = looks;
  expect(Number.parseInt(first!, 10)).toBeGreaterThan(600);
  for (const other of others) expect(Number.parseInt(other, 10)).toBeLessThan(600);
  await links(page).getByRole('link', { name: 'Planner' }).press('Enter');
  await page.getByRole('main', { name: 'Planner' }).waitFor();
  expect(await page.evaluate<string>('document.activeElement.tagName')).toBe('MAIN');
  await page.keyboard.press('Tab');
  expect(await page.evaluate<boolean>("document.activeElement.closest('main') !== null")).toBe(true);
});

test('on a phone all links are in sight, high enough for a finger, and break no rule', async () => {
  const { page } = await visit(browser, NARROW, double.url);
  await page.locator('.stations').waitFor();
  const boxes = await page.evaluate<{ height: number; right: number }[]>(
    "[...document.querySelectorAll('nav[aria-label=Screens] a')].map((a) => a.getBoundingClientRect()).map((box) => ({ height: box.height, right: box.right }))",
  );
  for (const box of boxes) {
    expect(box.height).toBeGreaterThanOrEqual(44);
    expect(box.right).toBeLessThanOrEqual(390);
  }
  expect(await sidewaysPx(page)).toBe(0);
  expect(await violations(page)).toEqual([]);
});

test('an address without a screen says so, and a screen’s code that does not come is told', async () => {
  const { page } = await visit(browser, WIDE, `${double.url}attic`);
  await page.getByRole('heading', { name: 'There is no screen at this address.' }).waitFor();
  await page.route('**/planner-screen-*.js', (route) => route.abort());
  await links(page).getByRole('link', { name: 'Planner' }).click();
  await page.getByRole('heading', { name: 'This screen has not arrived.' }).waitFor();
  await page.unroute('**/planner-screen-*.js');
  await page.getByRole('button', { name: 'Load the page again' }).click();
  await page.locator('.plan-plate canvas').waitFor();
});
