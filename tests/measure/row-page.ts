/** The page's row: size of its script, time until it can be used, frames at ten updates a second, draws beside bare uPlot. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Draw } from './page-session.ts';
import { type Measured, median } from './rounds.ts';

const AIM_KB = 90;
const AIM_USABLE_MS = 1000;
const AIM_FRAME_MS = 18;
const AIM_UPDATE_MS = 16;
const AIM_DRAW = 1.3;

/**
 * The browser's driver finds its own files beside itself and can't live in a bundle, nor can the bundler: what uses
 * them is bundled here, by itself, with all packages left outside.
 */
async function loadSession(): Promise<typeof import('./page-session.ts')> {
  const { build } = (await import(import.meta.resolve('esbuild'))) as typeof import('esbuild');
  const session = new URL('page-session.mjs', import.meta.url);
  await build({
    entryPoints: [fileURLToPath(new URL('../../tests/measure/page-session.ts', import.meta.url))],
    outfile: fileURLToPath(session),
    bundle: true,
    packages: 'external',
    platform: 'node',
    target: 'node20',
    format: 'esm',
  });
  return (await import(session.href)) as typeof import('./page-session.ts');
}

/** What comes at once with a part of the page: itself and all that it imports, not what it may ask for later. */
function partsOf(web: URL, name: string, known: Set<string>): Set<string> {
  if (known.has(name)) return known;
  known.add(name);
  const text = readFileSync(new URL(name, web), 'utf8');
  for (const [, imported] of text.matchAll(/(?:from|import)\s*"\.\/([\w-]+\.js)"/g))
    if (imported !== undefined) partsOf(web, imported, known);
  return known;
}

/** kB, gzipped, of all that is fetched when a screen is the first that is opened; the largest of them. */
function heaviestScreenKb(web: URL): number {
  const sizeKb = (name: string): number => gzipSync(readFileSync(new URL(name, web))).length / 1000;
  const screens = readdirSync(web).filter((name) => /-screen-\w+\.js$/.test(name));
  return Math.max(
    ...['app.js', ...screens].map((screen) => {
      const parts = partsOf(web, screen, partsOf(web, 'app.js', new Set()));
      return [...parts].reduce((sum, name) => sum + sizeKb(name), 0);
    }),
  );
}

export async function measurePage(): Promise<readonly Measured[]> {
  const scriptKb = heaviestScreenKb(new URL('../web/', import.meta.url));
  const { measurePages } = await loadSession();
  const { frames, mainThreadMs, draws, usable } = await measurePages();
  const usableMs = median(usable.map(({ oursMs }) => oursMs));
  const update = median(mainThreadMs);
  const drawn = (which: keyof Draw) => ({
    ms: median(draws.map(({ ours }) => ours[which])),
    ratio: median(draws.map(({ ours, bare }) => ours[which] / bare[which])),
  });
  const [script, whole] = [drawn('scriptMs'), drawn('frameMs')];
  return [
    {
      name: 'page: script of the heaviest screen, gzipped',
      value: scriptKb,
      unit: 'kB',
      yardstick: 'none: a size',
      ratio: null,
      aim: `≤ ${AIM_KB} kB`,
      met: scriptKb <= AIM_KB,
    },
    {
      name: 'page: usable, on loopback',
      value: usableMs,
      unit: 'ms',
      yardstick: 'a page of one line of text',
      ratio: median(usable.map(({ oursMs, lineMs }) => oursMs / lineMs)),
      aim: `≤ ${AIM_USABLE_MS} ms`,
      met: usableMs <= AIM_USABLE_MS,
    },
    {
      name: 'page: frame at 10 Hz over a day, p95',
      value: frames.oursMs,
      unit: 'ms',
      yardstick: `an idle page: ${frames.idleMs.toPrecision(3)} ms`,
      ratio: frames.oursMs / frames.idleMs,
      aim: `≤ ${AIM_FRAME_MS} ms`,
      met: frames.oursMs <= AIM_FRAME_MS,
    },
    {
      name: 'page: main thread for an update of these',
      value: update,
      unit: 'ms',
      yardstick: 'none: processor time',
      ratio: null,
      aim: `≤ ${AIM_UPDATE_MS} ms`,
      met: update <= AIM_UPDATE_MS,
    },
    {
      name: 'page: both lanes drawn, a day, with painting',
      value: whole.ms,
      unit: 'ms',
      yardstick: 'bare uPlot, same columns',
      ratio: whole.ratio,
      aim: `≤ ${AIM_DRAW}`,
      met: whole.ratio <= AIM_DRAW,
    },
    {
      name: 'page: both lanes drawn, a day, script alone',
      value: script.ms,
      unit: 'ms',
      yardstick: 'bare uPlot, same columns',
      ratio: script.ratio,
      aim: `≤ ${AIM_DRAW}`,
      met: script.ratio <= AIM_DRAW,
    },
  ];
}
