/**
 * Makes the README's picture, web/picture.png: the built program runs its simulated bench for a few hours of bench
 * time, and the page is taken as a browser shows it. Run it with `node dist/tests/picture.mjs` after a build.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { launchBrowser } from './browser.ts';

const ROOT = process.cwd();
const PICTURE = join(ROOT, 'web', 'picture.png');
/** The README is loaded by everybody who looks at the project. */
const MOST_BYTES = 250_000;
const WIDTH_PX = 1280;
/** Hours of the story that lie behind: the spool is half dry, and when it will be is known fairly well. */
const PAST_HOURS = '14';
const PATIENCE_MS = 300_000;

/** Starts the program as a user would and waits for the address it prints. */
async function startProgram(dataFolder: string): Promise<{ url: string; stop(): void }> {
  const program = spawn(
    process.execPath,
    [
      join(ROOT, 'dist', 'lowdew.mjs'),
      ...['run', '--simulate', 'gear-overnight', '--past', PAST_HOURS, '--speed', '1'],
      ...['--data', dataFolder, '--listen', '127.0.0.1:0', '--log', 'error'],
    ],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  const stop = (): void => {
    program.kill('SIGTERM');
  };
  const late = setTimeout(stop, PATIENCE_MS);
  for await (const line of createInterface({ input: program.stdout })) {
    const url = /http:\/\/127\.0\.0\.1:\d+/.exec(line)?.[0];
    if (url === undefined) continue;
    clearTimeout(late);
    program.stdout.resume();
    return { url, stop };
  }
  throw new Error('The program ended or said no address: is it built?');
}

const dataFolder = mkdtempSync(join(tmpdir(), 'lowdew-picture-'));
const program = await startProgram(dataFolder);
const browser = await launchBrowser();
try {
  const context = await browser.newContext({
    locale: 'en-US',
    timezoneId: 'Europe/Berlin',
    colorScheme: 'light',
    viewport: { width: WIDTH_PX, height: 900 },
  });
  const page = await context.newPage();
  await page.goto(program.url);
  await page.locator('.section').waitFor({ timeout: PATIENCE_MS });
  await page.locator('.stations .sp path').first().waitFor();
  await page.waitForLoadState('networkidle');
  // Down to the end of plate and section: the stations below are figures that a README does not need.
  const heightPx = await page.evaluate<number>(
    "Math.ceil(document.querySelector('.plate').getBoundingClientRect().bottom + 16)",
  );
  await page.screenshot({
    path: PICTURE,
    clip: { x: 0, y: 0, width: WIDTH_PX, height: heightPx },
    fullPage: true,
  });
  const bytes = statSync(PICTURE).size;
  console.log(`${PICTURE}: ${WIDTH_PX} × ${heightPx}, ${Math.round(bytes / 1000)} kB`);
  if (bytes > MOST_BYTES) {
    console.error(`More than ${MOST_BYTES / 1000} kB.`);
    process.exitCode = 1;
  }
} finally {
  await browser.close();
  program.stop();
  rmSync(dataFolder, { recursive: true, force: true });
}
