import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type BenchDouble, startBenchDouble } from './bench-double.ts';
import { launchBrowser, TWO_LOOKS, takePicture } from './browser.ts';
import { BOX, benchOf, CABINET, MORNING, NOW_MS, RIG, ROOM, sourceOf } from './invented-bench.ts';
import { heading, nowPx, paintedHeights, sidewaysPx, violations, visit } from './looking.ts';

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

const QUIET_SINCE_MS = NOW_MS - 41 * 60_000;

describe.each(TWO_LOOKS)('at $width px, $scheme', (look) => {
  test('nothing connected: it says what to do next', async () => {
    double.snapshot = benchOf([], { sources: [] });
    const { page, complaints } = await visit(browser, look, double.url);
    await page.getByRole('heading', { name: 'Nothing is connected yet.' }).waitFor();
    await takePicture(page, `nothing-${look.width}-${look.scheme}`);
    expect(await page.locator('ol li').count()).toBe(4);
    expect(await page.locator('table').count()).toBe(0);
    expect(await sidewaysPx(page)).toBe(0);
    if (look.width === 1280) expect(await violations(page)).toEqual([]);
    expect(complaints).toEqual([]);
  });

  test('a board that was never heard', async () => {
    const unheard = { heardMs: null, quiet: true, values: {}, air: null, intervalMs: null, counts: {} };
    double.snapshot = benchOf(
      [
        { ...BOX, ...unheard },
        { ...RIG, ...unheard },
      ],
      {
        sources: [
          sourceOf({
            state: 'waiting',
            heardMs: null,
            lines: 0,
            refused: {},
            boards: [],
            trouble: 'There is no port /dev/ttyUSB0. No ports were found.',
          }),
        ],
      },
    );
    double.history = () => null;
    const { page } = await visit(browser, look, double.url);
    await page.locator('[data-lane=upper] .marks').getByText('No reading in this span').waitFor();
    expect(await heading(page)).toBe('Nothing has been heard yet from the drying box and the chamber.');
    await takePicture(page, `never-${look.width}-${look.scheme}`);
  });

  test('a quiet box: its lane claims nothing, the chamber’s goes on', async () => {
    double.snapshot = benchOf([{ ...BOX, quiet: true, heardMs: QUIET_SINCE_MS }, RIG, ROOM, CABINET]);
    double.history = (station, key, atMs) =>
      station === 'box' && atMs > QUIET_SINCE_MS ? null : MORNING(station, key, atMs);
    const { page } = await visit(browser, look, double.url);
    await page.locator('.stations .sp path').first().waitFor();
    expect(await heading(page)).toBe('Cannot tell: the drying box has been quiet for 41 minutes.');
    await takePicture(page, `quiet-${look.width}-${look.scheme}`);
    const now = await nowPx(page);
    // Six hours on the ruler: ten minutes before now is well inside the silence at either width.
    const width = await page.evaluate<number>("document.querySelector('.strip').clientWidth");
    const inside = now - width * (10 / 360);
    const dotted = await paintedHeights(page, 'upper', inside);
    // The room's line alone is left there: one thin line, no band.
    expect(dotted.length).toBeLessThan(8);
    expect((await paintedHeights(page, 'upper', now - width * (60 / 360))).length).toBeGreaterThan(60);
    expect((await paintedHeights(page, 'lower', inside)).length).toBeGreaterThan(0);
    const row = page.locator('[data-station=box]');
    expect(await row.textContent()).toContain('was 80.1');
    expect(await violations(page)).toEqual([]);
  });

  test('the server gone: everything below is as of then', async () => {
    double.snapshot = benchOf();
    double.history = MORNING;
    const { page } = await visit(browser, look, double.url);
    await page.locator('[data-lane=upper] canvas').waitFor();
    await double.leave();
    await page.getByRole('heading', { name: 'Cannot tell: no word from lowdew since 12:10.' }).waitFor();
    await takePicture(page, `lost-${look.width}-${look.scheme}`);
    expect(await page.locator('[data-lane=upper] .marks .ring').count()).toBe(0);
    expect(await page.getByRole('heading', { name: 'Stations' }).textContent()).toBe(
      'Stations as of 12:10:42',
    );
    double.comeBack();
    await page.getByRole('heading', { name: 'Four stations are heard' }).waitFor();
  });
});
