import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, type Look, launchBrowser, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, RIG, ROOM } from './invented-bench.ts';
import { SPOOL_MORNING, spoolOf } from './invented-spool.ts';
import { heading, paintedHeights, sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({
    snapshot: benchOf([BOX, RIG, ROOM, CABINET], {
      spools: [spoolOf()],
      speed: 60,
      simulated: { scenario: 'a nylon spool', speed: 60 },
    }),
    history: SPOOL_MORNING,
  });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const [WIDE_LIGHT, WIDE_DARK, NARROW_LIGHT, NARROW_DARK] = LOOKS as [Look, Look, Look, Look];

/** The question, what its answer must say, and whether it is also held against the accessibility rules. */
const ASKED: readonly (readonly [name: string, query: string, say: RegExp, look: Look, checked: boolean])[] =
  [
    ['dry', 'ask=dry&boxC=80', /^Dry after \d.* (h|days)\.$/, WIDE_LIGHT, true],
    ['dry', 'ask=dry&boxC=80', /^Dry after \d.* (h|days)\.$/, NARROW_DARK, true],
    [
      'never',
      'ask=dry&boxC=55&roomRhPercent=65',
      /^This air will not dry it to 0\.20 %\.$/,
      WIDE_DARK,
      false,
    ],
    ['too-hot', 'ask=dry&material=petg&boxC=85', /^Dry after /, NARROW_LIGHT, false],
    [
      'lie-out',
      'ask=lie-out&startWtPercent=0.08',
      /^Its outer turns pass 0\.20 % after /,
      NARROW_LIGHT,
      true,
    ],
    [
      'lie-out',
      'ask=lie-out&material=petg&startWtPercent=0.02',
      /^Its outer turns pass 0\.08 % after /,
      WIDE_LIGHT,
      false,
    ],
    [
      'store',
      'ask=store&material=petg&startWtPercent=0.03',
      /^The bag keeps it under 0\.08 % for /,
      WIDE_DARK,
      true,
    ],
    [
      'store',
      'ask=store&film=barrier',
      /^The bag keeps it under 0\.20 % for over 3 years\.$/,
      NARROW_DARK,
      false,
    ],
    ['fit', 'ask=fit', /^It grows by 0\.\d\d–0\.\d\d mm\.$/, WIDE_LIGHT, true],
    ['fit', 'ask=fit&material=pla', /^It grows by /, NARROW_DARK, false],
    ['air', 'ask=air', /^Heated to 70\.0 °C, this air is at 3\.8 %RH\.$/, NARROW_LIGHT, true],
    ['air', 'ask=air&heatedToC=5', /^At 5\.0 °C water condenses out of this air\.$/, WIDE_DARK, false],
  ];

test.each(ASKED)('%s (%s) reads as it should and breaks no rule', async (name, query, say, look, checked) => {
  const { page, complaints } = await visit(browser, look, `${double.url}planner?${query}`);
  await page.locator('.plan-plate canvas').waitFor();
  expect(await heading(page)).toMatch(say);
  expect(await page.title()).toMatch(/^SIMULATED · Planner · lowdew · /);
  expect(await page.getByRole('complementary', { name: 'Simulated bench' }).isVisible()).toBe(true);
  // The curve is painted, and every constant stands with source and grade.
  await expect.poll(async () => (await paintedHeights(page, 'upper', 150)).length).toBeGreaterThan(0);
  const rows = await page.locator('.constants tbody tr').allTextContents();
  expect(rows.length).toBeGreaterThan(0);
  await takePicture(page, `planner-${name}-${look.width}-${look.scheme}`);
  expect(await sidewaysPx(page)).toBe(0);
  if (checked) expect(await violations(page)).toEqual([]);
  expect(complaints).toEqual([]);
});
