import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, type Look, launchBrowser, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from './invented-bench.ts';
import { CALLED_DRY, dryingOf, levelOf, NEVER, quantiles, SPOOL_MORNING, spoolOf } from './invented-spool.ts';
import { heading, sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: SPOOL_MORNING });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const ALL = [BOX, RIG, ROOM, CABINET];
const ATTIC = { ...BOX, id: 'attic', role: 'storage' as const, values: { t: 21.3, rh: 18.2 } };
const KEPT = spoolOf({
  id: 'hinge',
  station: 'attic',
  materialKey: 'pa12',
  netMassG: 520,
  limitWtPercent: 0.1,
  limitKind: 'own',
  drying: dryingOf({
    ...levelOf(quantiles(0.11, 0.16, 0.24), quantiles(0.2, 0.3, 0.4)),
    state: 'holding',
    wettestTurnWtPercent: quantiles(0.13, 0.19, 0.28),
    readyOuterG: quantiles(0, 0, 40),
    floorWtPercent: quantiles(0.2, 0.3, 0.4),
    runStartMs: null,
    posterior: [],
  }),
});

const STATES = {
  drying: {
    snapshot: benchOf(ALL, { spools: [spoolOf()] }),
    say: 'Not yet. The gear spool is dry on average between 14:50 and 19:45.',
  },
  never: {
    snapshot: benchOf(ALL, { spools: [spoolOf({ drying: dryingOf(NEVER) })] }),
    say: 'This air will not dry the gear spool to 0.20 %.',
  },
  dry: {
    snapshot: benchOf(ALL, {
      spools: [spoolOf({ drying: dryingOf({ ...CALLED_DRY, readyOuterG: quantiles(628, 790, 940) }) })],
      speed: 60,
      simulated: { scenario: 'a nylon spool', speed: 60 },
    }),
    say: 'Dry on average; inner turns not yet sure.',
  },
  quiet: {
    snapshot: benchOf([{ ...BOX, quiet: true, heardMs: NOW_MS - 371_000 }, RIG, ROOM, CABINET], {
      spools: [spoolOf()],
    }),
    say: 'Cannot tell: the drying box has been quiet for 6 minutes.',
  },
  'two-spools': {
    snapshot: benchOf([BOX, ATTIC, RIG, ROOM], { spools: [spoolOf(), KEPT] }),
    say: 'Not yet. The gear spool is dry on average between 14:50 and 19:45.',
  },
};

type StateName = keyof typeof STATES;
const [WIDE_LIGHT, WIDE_DARK, NARROW_LIGHT, NARROW_DARK] = LOOKS as [Look, Look, Look, Look];
/** Checked: also held against the accessibility rules, which takes as long as all the rest. */
const EVERY: readonly (readonly [name: StateName, look: Look, checked: boolean])[] = [
  ['drying', WIDE_LIGHT, true],
  ['drying', NARROW_DARK, true],
  ['never', WIDE_DARK, false],
  ['dry', NARROW_LIGHT, false],
  ['quiet', WIDE_LIGHT, false],
  ['two-spools', NARROW_LIGHT, true],
];

test.each(EVERY)('%s reads as it should and breaks no rule, %o', async (name, look, checked) => {
  const state = STATES[name];
  double.snapshot = state.snapshot;
  const { page, complaints } = await visit(browser, look, double.url);
  await page.locator('.section').waitFor();
  expect(await heading(page)).toBe(state.say);
  await page.locator('.stations .sp path').first().waitFor();
  // The estimates of the morning have come: the oldest tells a time before noon.
  await page.locator('.why summary').click();
  await takePicture(page, `spool-${name}-${look.width}-${look.scheme}`);
  expect(await sidewaysPx(page)).toBe(0);
  if (checked) expect(await violations(page)).toEqual([]);
  expect(complaints).toEqual([]);
  const section = page.getByRole('img', { name: 'The spool in section' });
  if (name === 'drying') {
    expect((await section.getAttribute('aria-label'))?.replaceAll('\u00a0', ' ')).toContain(
      '20 g can be counted on, 60 g are likely',
    );
    expect(await section.locator('path[class^=w]').count()).toBeGreaterThan(20);
    const limit = await page.evaluate<number[]>(
      "[...document.querySelectorAll('[data-lane=upper] .marks line.lim, .section line.lim')].map((l) => l.getBoundingClientRect().top)",
    );
    expect(limit.length).toBe(2);
    // One line through time and through the spool, where they stand side by side.
    if (look.width === 1280) expect(Math.abs(limit[0]! - limit[1]!)).toBeLessThan(0.6);
  }
  if (name === 'quiet') {
    expect(await section.getAttribute('aria-label')).toContain('Not known');
    expect(await section.locator('path[class^=w]').count()).toBe(0);
    expect(await page.locator('[data-lane=upper] .marks .ring').count()).toBe(0);
    expect(await page.locator('main').textContent()).not.toMatch(/dry (between|at|1\d:)/);
  }
  if (name === 'two-spools') {
    const boxes = page.getByRole('group', { name: 'Box on the chart' });
    expect((await boxes.textContent())?.replaceAll('\u00a0', ' ')).toContain(
      'hinge: kept, not dried, 0.16 % (0.11–0.24)',
    );
    await boxes.getByRole('button', { name: 'attic' }).click();
    await page.getByRole('heading', { name: 'Kept, not dried: the hinge spool is at 0.16' }).waitFor();
    await page
      .getByText('Moisture in the hinge spool')
      .or(page.getByText('your limit 0.10'))
      .first()
      .waitFor();
    expect((await boxes.textContent())?.replaceAll('\u00a0', ' ')).toContain('gear: drying, 0.34 %');
  }
});
