import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { StationState } from '../../server/api/messages.ts';
import type { ChamberState } from '../../server/api/messages-chamber.ts';
import { type BenchDouble, type History, startBenchDouble } from './bench-double.ts';
import { LOOKS, type Look, launchBrowser, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, ROOM } from './invented-bench.ts';
import {
  CHAMBER_MORNING,
  COOLING,
  chamberOf,
  excursion,
  JOB_MORNING,
  jobOf,
  rigAt,
  STEADY,
} from './invented-chamber.ts';
import { CALLED_DRY, clockMs, dryingOf, quantiles, spoolOf } from './invented-spool.ts';
import { axisHeight, heading, nowPx, paintedHeights, sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: CHAMBER_MORNING });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const benchWith = (
  rig: StationState,
  chamber: Partial<ChamberState>,
  parts: Parameters<typeof benchOf>[1] = {},
) =>
  benchOf([{ ...BOX, ceiling: null }, rig, ROOM, CABINET], {
    spools: [spoolOf()],
    chambers: [chamberOf(chamber)],
    ...parts,
  });
const HELD = JOB_MORNING;
const STEADY_SINCE_NOON = { ...STEADY, steadySinceMs: clockMs(11, 55) };
const DOOR = excursion({ kind: 'door', toMs: clockMs(11, 9), worst: null, limit: null, unit: null });

const STATES: Record<
  string,
  { snapshot: ReturnType<typeof benchOf>; say: string; history?: History; lane: RegExp }
> = {
  climbing: {
    snapshot: benchWith(rigAt(52.8), {}),
    say: 'Not yet. The gear spool is dry on average between 14:50 and 19:45.',
    lane: /steady 14:25.*ends at 57\.4|ends at 57\.4.*steady 14:25/,
  },
  printable: {
    snapshot: benchWith(rigAt(57.2), STEADY_SINCE_NOON, {
      spools: [spoolOf({ drying: dryingOf({ ...CALLED_DRY, readyOuterG: quantiles(388, 700, 940) }) })],
    }),
    history: HELD,
    say: 'The outer 380 g can be printed now.',
    lane: /steady since 11:55/,
  },
  running: {
    snapshot: benchWith(rigAt(57), STEADY_SINCE_NOON, {
      spools: [spoolOf({ drying: dryingOf(CALLED_DRY) })],
      jobs: [jobOf({ excursions: [DOOR] })],
    }),
    history: HELD,
    say: 'Printing as it should, but for an open door.',
    lane: /band of the job 54\.0–60\.0/,
  },
  'ceiling-ahead': {
    snapshot: benchWith(
      rigAt(52.8, { outcome: 'near-ahead', ceilingC: 57, crossesAtMs: clockMs(13, 20) }),
      {},
    ),
    say: 'The chamber will pass its ceiling at about 13:20.',
    lane: /ceiling 57/,
  },
  cooling: {
    snapshot: benchWith(rigAt(52.8), COOLING, { spools: [] }),
    say: 'The chamber is cooling.',
    lane: /may be opened 12:55/,
  },
  quiet: {
    snapshot: benchWith(
      { ...rigAt(52.8), quiet: true, heardMs: NOW_MS - 371_000 },
      {},
      {
        spools: [spoolOf({ drying: dryingOf(CALLED_DRY) })],
      },
    ),
    history: (station, key, atMs) =>
      station === 'rig' && atMs > NOW_MS - 371_000 ? null : CHAMBER_MORNING(station, key, atMs),
    say: 'Cannot tell: the chamber has been quiet for 6 minutes.',
    lane: /no forecast/,
  },
};

const [WIDE_LIGHT, WIDE_DARK, NARROW_LIGHT, NARROW_DARK] = LOOKS as [Look, Look, Look, Look];
/** Checked: also held against the accessibility rules, which takes as long as all the rest. */
const EVERY: readonly (readonly [name: string, look: Look, checked: boolean])[] = [
  ['climbing', WIDE_LIGHT, true],
  ['climbing', NARROW_DARK, true],
  ['printable', WIDE_DARK, false],
  ['running', WIDE_LIGHT, true],
  ['running', NARROW_LIGHT, true],
  ['ceiling-ahead', WIDE_LIGHT, false],
  ['ceiling-ahead', NARROW_DARK, false],
  ['cooling', NARROW_LIGHT, false],
  ['cooling', WIDE_DARK, false],
  ['quiet', WIDE_LIGHT, false],
  ['quiet', NARROW_DARK, false],
];

const laneWords = async (page: Page): Promise<string> =>
  ((await page.locator('[data-lane=lower] .marks').textContent()) ?? '').replaceAll('\u00a0', ' ');

test.each(EVERY)('%s reads as it should and breaks no rule, %o', async (name, look, checked) => {
  const state = STATES[name]!;
  double.snapshot = state.snapshot;
  double.history = state.history ?? CHAMBER_MORNING;
  const { page, complaints } = await visit(browser, look, double.url);
  await page.locator('.stations .sp path').first().waitFor();
  expect(await heading(page)).toBe(state.say);
  expect(await laneWords(page)).toMatch(state.lane);
  await page.locator('.why summary').last().click();
  await takePicture(page, `chamber-${name}-${look.width}-${look.scheme}`);
  expect(await sidewaysPx(page)).toBe(0);
  if (checked) expect(await violations(page)).toEqual([]);
  expect(complaints).toEqual([]);
  const uprights = await page.evaluate<number>("document.querySelectorAll('.hl.bar').length");
  if (name === 'climbing' && look.width === 1280) {
    expect(uprights).toBe(1);
    // A quarter of the way into the future the fan is painted about where the forecast says: 57.1 °C at 15:10.
    const ahead = (await nowPx(page)) + 130;
    const heights = await paintedHeights(page, 'lower', ahead);
    const median = await axisHeight(page, 'lower', 57.2);
    expect(Math.min(...heights.map((height) => Math.abs(height - median)))).toBeLessThan(6);
  }
  if (name === 'running') {
    expect(uprights).toBe(0);
    // Closed in: five degrees beside the band of 54 to 60 °C.
    const ticks = await page.locator('[data-lane=lower] .marks text[text-anchor=end]').allTextContents();
    const figures = ticks.map(Number).filter(Number.isFinite);
    expect(Math.min(...figures)).toBeGreaterThanOrEqual(49);
    expect(Math.max(...figures)).toBeLessThanOrEqual(65);
    expect(await page.locator('.fig .job-window').count()).toBe(1);
  }
  if (name === 'quiet') {
    expect(uprights).toBe(0);
    expect(await laneWords(page)).not.toMatch(/steady|ends at/);
    expect(await page.locator('[data-lane=lower] .marks .ring').count()).toBe(0);
  }
  if (name === 'ceiling-ahead')
    expect((await page.locator('.stations').textContent())?.replaceAll('\u00a0', ' ')).toContain(
      'May come near its ceiling of 57 °C (PETG part), passed at about 13:20.',
    );
});

test('a forecast goes at once when its station falls quiet, and comes back with it', async () => {
  double.snapshot = STATES['climbing']!.snapshot;
  double.history = CHAMBER_MORNING;
  const { page } = await visit(browser, WIDE_LIGHT, double.url);
  await page.locator('[data-lane=lower]').getByText('steady 14:25').waitFor();
  const rig = rigAt(52.8);
  double.send({ atMs: NOW_MS + 1000, stations: [{ ...rig, quiet: true, heardMs: NOW_MS - 20_000 }] });
  await page.locator('[data-lane=lower]').getByText('no forecast').waitFor();
  expect(await laneWords(page)).not.toContain('steady');
  double.send({ atMs: NOW_MS + 2000, stations: [rig] });
  await page.locator('[data-lane=lower]').getByText('steady 14:25').waitFor();
  // A new estimate of all chambers takes the place of the old one.
  double.send({
    atMs: NOW_MS + 3000,
    chambers: [chamberOf({ steadyAtMs: quantiles(clockMs(14, 0), clockMs(14, 40), clockMs(15, 5)) })],
  });
  await page.locator('[data-lane=lower]').getByText('steady 14:40').waitFor();
});
