/** The page in a real browser, for the row of the same name: how often it paints, what a draw costs, when it is usable. */
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { type BenchDouble, startBenchDouble } from '../browser/bench-double.ts';
import { LOOKS, launchBrowser, openContext } from '../browser/browser.ts';
import { BOX, benchOf, CABINET, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';
import { SPOOL_MORNING, spoolOf } from '../browser/invented-spool.ts';

const UPDATE_MS = 100;
const WINDOW_MS = 1500;
const WINDOWS = 4;
const VISITS = 5;
const DRAWS = 12;
const DRAW_ROUNDS = 7;

export interface Draw {
  /** Script alone, wall time, median: the canvas only notes what it is told. */
  readonly scriptMs: number;
  /** The main thread's processor time for the whole frame: script and, without a graphics card, the painting. */
  readonly frameMs: number;
}

export interface PageFigures {
  /** 95 % point of the time between frames at ten updates a second, beside an idle page's in the same browser, ms. */
  readonly frames: { readonly oursMs: number; readonly idleMs: number };
  /** Processor time of the page's main thread for one update with all that follows from it, ms. */
  readonly mainThreadMs: readonly number[];
  /** Both lanes over a day, as the page draws them and bare. */
  readonly draws: readonly { readonly ours: Draw; readonly bare: Draw }[];
  /** From the first byte asked for to answer, stations and both lanes in place, and to a page of one line, ms. */
  readonly usable: readonly { readonly oursMs: number; readonly lineMs: number }[];
}

export async function measurePages(): Promise<PageFigures> {
  const double = await startBenchDouble({
    snapshot: benchOf([BOX, RIG, ROOM, CABINET], { spools: [spoolOf()] }),
    history: SPOOL_MORNING,
  });
  const browser = await launchBrowser();
  try {
    const usable: { oursMs: number; lineMs: number }[] = [];
    for (let visit = 0; visit < VISITS; visit++)
      usable.push({
        oursMs: await timeUntil(browser, double.url, BENCH_SHOWN),
        lineMs: await timeUntil(browser, `${double.url}${ONE_LINE}`, 'document.body?.textContent'),
      });
    return { usable, ...(await paint(browser, double)), draws: await compareDraws(browser) };
  } finally {
    await browser.close();
    await double.close();
  }
}

const open = async (browser: Browser): Promise<Page> => (await openContext(browser, LOOKS[0]!)).newPage();

/** An answer without data, shown as text. */
const ONE_LINE = 'api/history?fromMs=0&toMs=0';
const BENCH_SHOWN = `['upper', 'lower'].every((lane) => document.querySelector('[data-lane=' + lane + '] canvas')) &&
  document.querySelector('.stations .sp path') && document.querySelector('h1')?.textContent`;

/** Looked for before each frame, so that what is found is also painted at once. */
async function timeUntil(browser: Browser, url: string, shown: string): Promise<number> {
  const page = await open(browser);
  await page.addInitScript(`globalThis.usable = new Promise((settle) => {
    const look = () => {
      if (${shown}) settle(performance.now());
      else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  })`);
  await page.goto(url);
  const usableMs = await page.evaluate<number>('usable');
  await page.context().close();
  return usableMs;
}

/** Times between frames over a window, ms. */
const frameTimes = (page: Page): Promise<number[]> =>
  page.evaluate<number[]>(`new Promise((settle) => {
    const gaps = [];
    let before = null;
    let startMs = null;
    const frame = (atMs) => {
      startMs ??= atMs;
      if (before !== null) gaps.push(atMs - before);
      before = atMs;
      if (atMs - startMs < ${WINDOW_MS}) requestAnimationFrame(frame);
      else settle(gaps);
    };
    requestAnimationFrame(frame);
  })`);

const highOf = (gaps: readonly number[]): number =>
  [...gaps].sort((a, b) => a - b)[Math.floor(0.95 * gaps.length)]!;

/** Processor time that a page's main thread has had so far, ms. */
async function watchMainThread(page: Page): Promise<() => Promise<number>> {
  const devtools: CDPSession = await page.context().newCDPSession(page);
  await devtools.send('Performance.enable', { timeDomain: 'threadTicks' });
  return async () => {
    const { metrics } = await devtools.send('Performance.getMetrics');
    return 1000 * metrics.find(({ name }) => name === 'TaskDuration')!.value;
  };
}

async function paint(browser: Browser, double: BenchDouble) {
  const page = await open(browser);
  await page.goto(double.url);
  await page.getByRole('button', { name: '1 d', exact: true }).click();
  await page.locator('[data-lane=lower] .marks .ring').waitFor();
  const idle = await open(browser);
  await idle.setContent('<p>nothing to do</p>');
  const mainThreadMs = await watchMainThread(page);
  let atMs = NOW_MS;
  let sent = 0;
  let t = RIG.values['t']!;
  const update = (): void => {
    atMs += UPDATE_MS;
    sent++;
    t += 0.01;
    const vapour = 10.5 + 0.2 * Math.sin(atMs / 7000);
    double.send({
      atMs,
      points: [
        { station: 'rig', key: 't', atMs, value: t },
        { station: 'rig', key: 'tb', atMs, value: 100 + t / 100 },
        { station: 'box', key: 'vapour', atMs, value: vapour },
        { station: 'box', key: 't', atMs, value: 80 + vapour / 100 },
      ],
      stations: [
        { ...RIG, heardMs: atMs, intervalMs: UPDATE_MS, values: { ...RIG.values, t } },
        { ...BOX, heardMs: atMs, intervalMs: UPDATE_MS, values: { ...BOX.values, t: 80 + vapour / 100 } },
      ],
    });
  };
  const [ours, nothing]: [number[], number[]] = [[], []];
  const updates: number[] = [];
  for (let window = 0; window < WINDOWS; window++) {
    const timer = setInterval(update, UPDATE_MS);
    if (window === 0) await frameTimes(page);
    ours.push(...(await frameTimes(page)));
    // Without the timing of frames, which itself asks for sixty a second.
    const [spentMs, before] = [await mainThreadMs(), sent];
    await page.evaluate(`new Promise((settle) => setTimeout(settle, ${WINDOW_MS}))`);
    updates.push(((await mainThreadMs()) - spentMs) / (sent - before));
    clearInterval(timer);
    nothing.push(...(await frameTimes(idle)));
  }
  // A page that stood still would paint quickly.
  await page.locator('[data-station=rig]').getByText(t.toFixed(1), { exact: true }).waitFor();
  return { frames: { oursMs: highOf(ours), idleMs: highOf(nothing) }, mainThreadMs: updates };
}

async function compareDraws(browser: Browser): Promise<PageFigures['draws']> {
  const bundled = await build({
    // The bundle of this file lies two folders below the project's.
    entryPoints: [fileURLToPath(new URL('../../tests/browser/page/lane-draws.ts', import.meta.url))],
    bundle: true,
    minify: true,
    write: false,
    format: 'iife',
    globalName: 'laneDraws',
    target: 'es2022',
  });
  const page = await open(browser);
  await page.setContent('<body></body>');
  await page.addScriptTag({ content: bundled.outputFiles[0]!.text });
  await page.evaluate('globalThis.drawing = laneDraws.createDrawing(), 0');
  const mainThreadMs = await watchMainThread(page);
  const timed = async (which: 'ours' | 'bare'): Promise<Draw> => {
    const before = await mainThreadMs();
    const scriptMs = await page.evaluate<number>(`drawing.${which}()`);
    return { scriptMs, frameMs: ((await mainThreadMs()) - before) / DRAWS };
  };
  const draws: { ours: Draw; bare: Draw }[] = [];
  for (let round = 0; round <= DRAW_ROUNDS; round++) {
    await page.evaluate(`drawing.prepare(${DRAWS})`);
    const pair = { ours: await timed('ours'), bare: await timed('bare') };
    if (round > 0) draws.push(pair);
  }
  const [ours, bare] = await page.evaluate<[number, number]>('drawing.inked()');
  if (!(ours > 1000 && Math.abs(ours - bare) < 0.1 * ours))
    throw new Error(`unlike pictures: ${ours} and ${bare} pixels`);
  return draws;
}
