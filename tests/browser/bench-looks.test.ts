import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { LOOKS, type Look, launchBrowser, takePicture } from './browser.ts';
import { airOf, BOX, benchOf, CABINET, MORNING, RIG, ROOM, sourceOf } from './invented-bench.ts';
import { heading, sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let double: BenchDouble;
beforeAll(async () => {
  browser = await launchBrowser();
  double = await startBenchDouble({ snapshot: benchOf(), history: MORNING });
});
afterAll(async () => {
  await browser?.close();
  await double?.close();
});

const DRY_BOX = {
  ...BOX,
  values: { ...BOX.values, rh: -1.2 },
  air: airOf({
    airTemperatureC: 80.1,
    relativeHumidityPercent: -1.2,
    dewPointBand: { kind: 'at-most', lowC: null, highC: 7.2 },
    vapourDensityBandGPerM3: { low: 0, high: 1.9 },
  }),
};

const STATES = {
  live: { snapshot: benchOf(), say: 'Four stations are heard; the drying box is at 80.1 °C.' },
  simulated: {
    snapshot: benchOf(undefined, { speed: 60, simulated: { scenario: 'a damp nylon spool', speed: 60 } }),
    say: 'Four stations are heard; the drying box is at 80.1 °C.',
  },
  odd: {
    snapshot: benchOf([
      DRY_BOX,
      { ...RIG, values: { ...RIG.values, t: 181.3 }, flagged: ['t'], air: null },
      { ...ROOM, values: { t: 22.4 }, faults: { rh: 'nack' }, air: null },
      CABINET,
    ]),
    say: 'The chamber reads 181.3 °C, which is not used.',
  },
  'two-boxes': {
    snapshot: benchOf([BOX, { ...BOX, id: 'attic' }, RIG, ROOM], {
      historyTrouble: 'The disk is full.',
      sources: [
        sourceOf(),
        sourceOf({
          id: 'lan',
          where: '10.0.0.7:4000',
          state: 'waiting',
          trouble: '10.0.0.7 does not answer.',
        }),
      ],
      unknownStations: ['cellar'],
    }),
    say: 'Four stations are heard; the drying box “box” is at 80.1 °C.',
  },
};

type StateName = keyof typeof STATES;
const [WIDE_LIGHT, WIDE_DARK, NARROW_LIGHT, NARROW_DARK] = LOOKS as [Look, Look, Look, Look];
/** Checked: also held against the accessibility rules, which takes as long as all the rest. */
const EVERY: readonly (readonly [name: StateName, look: Look, checked: boolean])[] = [
  ['live', WIDE_LIGHT, true],
  ['live', WIDE_DARK, false],
  ['live', NARROW_LIGHT, false],
  ['live', NARROW_DARK, false],
  ['simulated', WIDE_DARK, true],
  ['simulated', NARROW_LIGHT, false],
  ['odd', WIDE_LIGHT, false],
  ['odd', NARROW_LIGHT, true],
  ['two-boxes', NARROW_DARK, true],
  ['two-boxes', WIDE_LIGHT, false],
];

test.each(EVERY)('%s reads as it should and breaks no rule, %o', async (name, look, checked) => {
  const state = STATES[name];
  double.snapshot = state.snapshot;
  const { page, complaints } = await visit(browser, look, double.url);
  await page.locator('[data-lane=upper] canvas').waitFor();
  expect(await heading(page)).toBe(state.say);
  await page.locator('.stations .sp path').first().waitFor();
  await takePicture(page, `${name}-${look.width}-${look.scheme}`);
  expect(await sidewaysPx(page)).toBe(0);
  if (checked) expect(await violations(page)).toEqual([]);
  expect(complaints).toEqual([]);
  if (name === 'simulated') {
    expect(await page.title()).toMatch(/^SIMULATED · Bench · lowdew · Four stations/);
    expect(await page.getByRole('complementary', { name: 'Simulated bench' }).textContent()).toContain(
      'SIMULATED',
    );
  }
  if (name === 'odd') {
    const row = page.locator('[data-station=box]');
    expect(await row.locator('td').nth(3).textContent()).toContain('at or below\u00a07');
    expect(await page.locator('[data-station=rig]').textContent()).toContain('outside its range, not used');
    expect(await page.locator('[data-station=room]').textContent()).toContain('the sensor does not answer');
  }
  if (name === 'two-boxes') {
    await page.getByRole('button', { name: 'attic' }).click();
    await page.getByText('Water in the drying box air, “attic”').waitFor();
    expect(await page.locator('main').textContent()).toContain('▲ 10.0.0.7 does not answer.');
  }
});
