/** Three walks through the whole page of the simulated bench: by keys alone, on a phone, and as a screen reader has it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Program, startProgram } from '../flows/program.ts';
import { LOOKS, launchBrowser, takePicture } from './browser.ts';
import { sidewaysPx, visit } from './looking.ts';

let browser: Browser;
let program: Program;
let url = '';
const folder = mkdtempSync(join(tmpdir(), 'lowdew-walks-'));
const SCREENS = ['Bench', 'Spools', 'Jobs', 'Planner', 'Setup'] as const;
const WIDE = LOOKS[0]!;
const PHONE = LOOKS.find(({ width, scheme }) => width === 390 && scheme === 'light')!;

beforeAll(async () => {
  browser = await launchBrowser();
  program = startProgram([
    'run',
    '--simulate',
    'gear-overnight',
    '--past',
    '3',
    '--speed',
    '1',
    '--data',
    folder,
    '--listen',
    '127.0.0.1:0',
  ]);
  url = (await program.says(/The page: (\S+)/))[1] ?? '';
}, 60_000);
afterAll(async () => {
  await browser?.close();
  program?.child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

/** Tabs until what has the focus is called so; the number of stops it took, at most so many. */
async function tabTo(page: Page, name: RegExp, most = 60): Promise<number> {
  for (let stops = 1; stops <= most; stops++) {
    await page.keyboard.press('Tab');
    const focused = await page.evaluate<string>(
      'document.activeElement?.getAttribute("aria-label") || document.activeElement?.labels?.[0]?.textContent || document.activeElement?.textContent || ""',
    );
    if (name.test(focused.trim())) return stops;
  }
  throw new Error(`${name} was not reached in ${most} stops`);
}

test('by keys alone: from the answer to a start time, a plan, and back, never without a visible focus', async () => {
  const { page, complaints } = await visit(browser, WIDE, url);
  await page.locator('.plate').waitFor();
  await tabTo(page, /^Jobs$/, 12);
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Say what the job takes.' }).waitFor();
  await tabTo(page, /grams it takes/);
  expect(await page.evaluate('getComputedStyle(document.activeElement).outlineStyle')).not.toBe('none');
  await page.keyboard.type('60');
  await tabTo(page, /prints|hours|long/i, 4);
  await page.keyboard.type('4');
  // Whatever the story's hour says, it is said in the heading.
  await page
    .locator('h1')
    .filter({ hasText: /start|never|not within|in this air|sure/i })
    .waitFor();
  await page.keyboard.press('Control+Home');
  await page.goto(`${url}/planner`);
  await tabTo(page, /^Lie out$/, 30);
  await page.keyboard.press('Enter');
  await page.locator('h1').first().waitFor();
  await page.goBack();
  expect(complaints).toEqual([]);
});

test('on a phone: every screen by touch, nothing wider than the screen, what is pressed large enough', async () => {
  const { page, complaints } = await visit(browser, PHONE, url);
  for (const name of SCREENS) {
    await page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).tap();
    await page.getByRole('main', { name }).locator('h1').first().waitFor();
    await page.evaluate('document.fonts.ready');
    expect([name, await sidewaysPx(page)]).toEqual([name, 0]);
    const small = await page.evaluate<string[]>(`[...document.querySelectorAll('main button')]
      .filter((one) => one.offsetParent && one.getBoundingClientRect().height < 43.5)
      .map((one) => one.textContent)`);
    expect([name, small]).toEqual([name, []]);
    await takePicture(page, `walk-phone-${name.toLowerCase()}`);
  }
  await page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: 'Bench' }).tap();
  await page.getByLabel('Weigh-in with reel').fill('742');
  await page.getByRole('button', { name: 'Enter weight' }).tap();
  await page
    .getByText(/weighed 742/)
    .first()
    .waitFor();
  expect(complaints).toEqual([]);
});

test('as a screen reader has it: one heading first, places by name, charts as sentences with tables behind', async () => {
  const { page } = await visit(browser, WIDE, url);
  for (const name of SCREENS) {
    await page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name }).click();
    const main = page.getByRole('main', { name });
    await main.locator('h1').first().waitFor();
    const tree = await page.locator('body').ariaSnapshot();
    const lines = tree.split('\n').map((line) => line.trim());
    expect(lines.filter((line) => /^- heading .*\[level=1\]/.test(line))).toHaveLength(1);
    expect(lines.some((line) => line.startsWith('- navigation "Screens"'))).toBe(true);
    expect(lines.some((line) => line.startsWith(`- main "${name}"`))).toBe(true);
    // A bench of invented readings says so before anything else.
    expect(lines.findIndex((line) => line.includes('SIMULATED'))).toBeLessThan(
      lines.findIndex((line) => line.startsWith('- main')),
    );
    // Nothing that is pressed, typed in or looked at is without a name.
    expect(
      lines.filter((line) => /^- (button|link|textbox|combobox|img|slider|checkbox)(:|$)/.test(line)),
    ).toEqual([]);
  }
  await page.getByRole('navigation', { name: 'Screens' }).getByRole('link', { name: 'Bench' }).click();
  await page.locator('.plate').waitFor();
  const slider = page.getByRole('slider').first();
  expect(await slider.getAttribute('aria-valuetext')).toMatch(/\d/);
  await page.getByText('The chart as a table').click();
  const table = page.getByRole('table', { name: 'The span shown' });
  await table.waitFor();
  expect(await table.getByRole('row').count()).toBeGreaterThan(3);
});
