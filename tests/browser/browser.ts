/**
 * A real Chromium for the browser tests: the system's where there is one, else the binary of an optional package,
 * unpacked once for each user and version.
 *
 * That package unpacks into whatever folder is the temporary one, under fixed names, and takes a half-written file for
 * a finished one. So it is given a folder of its own, which gets its final name by a rename, once whole: two test files
 * that start together cannot meet in it.
 */
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';

const SYSTEM_CHROMIUM = '/usr/bin/chromium';
const PACKAGED_VERSION = '147.0.0';

/** Plain flags: the package's own list made pages with a canvas stand still for tens of seconds. */
const FLAGS = ['--no-sandbox', '--headless=new', '--disable-dev-shm-usage', '--hide-scrollbars'];

async function unpackChromium(): Promise<string> {
  const home = join(tmpdir(), `lowdew-chromium-${PACKAGED_VERSION}-${userInfo().uid}`);
  const program = join(home, 'chromium');
  if (existsSync(program)) return program;
  const { default: packaged } = await import('@sparticuz/chromium');
  const staging = mkdtempSync(`${home}-`);
  const temporaryBefore = process.env['TMPDIR'];
  process.env['TMPDIR'] = staging;
  try {
    await packaged.executablePath();
  } finally {
    if (temporaryBefore === undefined) delete process.env['TMPDIR'];
    else process.env['TMPDIR'] = temporaryBefore;
  }
  try {
    renameSync(staging, home);
  } catch (trouble) {
    rmSync(staging, { recursive: true, force: true });
    // Somebody else was quicker; theirs is as good.
    if (!existsSync(program)) throw trouble;
  }
  return program;
}

/** Starts a headless Chromium. The caller closes it. */
export async function launchBrowser(): Promise<Browser> {
  const executablePath = existsSync(SYSTEM_CHROMIUM) ? SYSTEM_CHROMIUM : await unpackChromium();
  return chromium.launch({ executablePath, args: FLAGS });
}

export interface Look {
  readonly width: 1280 | 390;
  readonly scheme: 'light' | 'dark';
}

/** The four ways in which a screen is looked at. */
export const LOOKS: readonly Look[] = [
  { width: 1280, scheme: 'light' },
  { width: 1280, scheme: 'dark' },
  { width: 390, scheme: 'light' },
  { width: 390, scheme: 'dark' },
];

/** Both widths and both schemes in two looks: enough for the states beside the usual one. */
export const TWO_LOOKS: readonly Look[] = [
  { width: 1280, scheme: 'light' },
  { width: 390, scheme: 'dark' },
];

/** Of one step: shorter than a test's, so that what fails is the step, by its name, and not the test as a whole. */
const STEP_DEADLINE_MS = 20_000;

/**
 * A fresh context: one language and time zone whatever machine this is (a system language of `C` would be reported as
 * `en-US@posix`, which no Intl constructor accepts), and a touch screen at phone width.
 */
export async function openContext(browser: Browser, look: Look): Promise<BrowserContext> {
  const narrow = look.width === 390;
  const context = await browser.newContext({
    locale: 'en-US',
    timezoneId: 'Europe/Berlin',
    colorScheme: look.scheme,
    viewport: { width: look.width, height: narrow ? 844 : 900 },
    hasTouch: narrow,
    isMobile: narrow,
    deviceScaleFactor: narrow ? 2 : 1,
  });
  context.setDefaultTimeout(STEP_DEADLINE_MS);
  return context;
}

const OUT = join(import.meta.dirname, '..', '.out');

/** Writes a picture of the whole page for a person to look through. */
export async function takePicture(page: Page, name: string): Promise<void> {
  mkdirSync(OUT, { recursive: true });
  await page.screenshot({ path: join(OUT, `${name}.png`), fullPage: true });
}
