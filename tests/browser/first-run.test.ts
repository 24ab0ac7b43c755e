/** A newcomer with a board: from the Setup screen to the first dew point, and no step that is not on the screen. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { encodeReading } from '../../firmware-protocol/encode.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { type Program, startProgram } from '../flows/program.ts';
import { LOOKS, launchBrowser, takePicture } from './browser.ts';
import { sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let pty: Pty;
let program: Program;
let talking: NodeJS.Timeout;
const folder = mkdtempSync(join(tmpdir(), 'lowdew-first-'));

beforeAll(async () => {
  [browser, pty] = await Promise.all([launchBrowser(), openPty()]);
  let seq = 0;
  const speak = (station: string, values: Record<string, number>): void => {
    pty.write(
      `${encodeReading({ station, boot: '3f2a', seq: seq++, uptimeMs: 5000 + 100 * seq, values, faults: {} })}\n`,
    );
  };
  talking = setInterval(() => {
    speak('box', { t: 23.4, rh: 44.2 });
    speak('rig', { t: 24.1 });
    speak('room', { t: 22.4, rh: 45.1 });
  }, 200);
  program = startProgram(['run', '--data', folder, '--listen', '127.0.0.1:0', '--past', '0'], {
    LOWDEW_BENCH: '',
  });
});
afterAll(async () => {
  clearInterval(talking);
  await browser?.close();
  program?.child.kill('SIGKILL');
  pty?.unplug();
  rmSync(folder, { recursive: true, force: true });
});

test('Setup leads from a port to a bench file and a live dew point, at both widths without a violation', async () => {
  const [, url = ''] = await program.says(/The page: (\S+)/);
  const phone = await visit(browser, LOOKS[3]!, `${url}/setup`);
  const desk = await visit(browser, LOOKS[0]!, url);
  // From the bench that is shown first there is a way to Setup.
  await desk.page.getByRole('link', { name: 'Setup' }).click();
  await desk.page.getByRole('heading', { name: 'Tell lowdew what stands on your bench.' }).waitFor();
  await desk.page.getByRole('heading', { name: 'What lowdew reckons with' }).waitFor();

  // What is no port is said so.
  const other = desk.page.getByLabel('A port that is not listed');
  await other.fill('/dev/none-such');
  await other.press('Enter');
  await desk.page
    .getByText(/\/dev\/none-such.*(not|no)/)
    .first()
    .waitFor();

  // Once, and not again at each port.
  expect(await desk.page.getByText('no register of its devices').count()).toBeLessThanOrEqual(1);
  // And it can be taken off the list again.
  await desk.page.getByRole('button', { name: 'Forget /dev/none-such' }).click();
  await desk.page.getByText('/dev/none-such', { exact: true }).waitFor({ state: 'detached' });

  await other.fill(pty.path);
  await other.press('Enter');
  await desk.page.getByText('Heard at 115200 baud').waitFor();
  await desk.page.getByRole('group', { name: /Station rig/ }).waitFor();
  await takePicture(desk.page, 'setup-first-1280-light');
  expect(await violations(desk.page)).toEqual([]);
  expect(await sidewaysPx(desk.page)).toBe(0);

  await phone.page.reload();
  await phone.page.getByRole('group', { name: /Station rig/ }).waitFor();
  await takePicture(phone.page, 'setup-first-390-dark');
  expect(await violations(phone.page)).toEqual([]);
  expect(await sidewaysPx(phone.page)).toBe(0);

  // A mistake is said where it is, and nothing is written.
  const mass = desk.page.getByLabel('Filament on it, g');
  await mass.fill('a lot');
  await mass.press('Enter');
  await desk.page.getByText('Give the filament’s mass in grams').waitFor();
  expect(existsSync(join(folder, 'bench.toml'))).toBe(false);
  await mass.fill('750');
  await desk.page
    .getByRole('group', { name: /Station rig/ })
    .getByLabel('PETG part 65 °C')
    .check();
  await desk.page.getByRole('button', { name: 'Write the bench file and begin' }).click();
  await desk.page.getByText(/^Written to .*bench\.toml/).waitFor();
  await program.says(/Beginning with it/);

  await desk.page.getByRole('link', { name: 'Bench' }).click();
  const box = desk.page.locator('[data-station=box]');
  await box.getByText('23.4', { exact: true }).waitFor();
  await box
    .getByText(/10\.\d/)
    .first()
    .waitFor();
  expect(await desk.page.getByText('SIMULATED', { exact: true }).count()).toBe(0);
  await desk.page.getByRole('link', { name: 'Setup' }).click();
  await desk.page.getByRole('heading', { name: 'How this bench is set up.' }).waitFor();
  await desk.page.getByLabel('Temperatures in').selectOption('F');
  await desk.page.reload();
  await desk.page.getByRole('heading', { name: 'Who is told' }).waitFor();
  expect(await desk.page.getByLabel('Temperatures in').inputValue()).toBe('F');
  await takePicture(desk.page, 'setup-known-1280-light');
  expect(await violations(desk.page)).toEqual([]);
  await phone.page.reload();
  await phone.page.getByRole('heading', { name: 'What lowdew reckons with' }).waitFor();
  await takePicture(phone.page, 'setup-known-390-dark');
  expect(await violations(phone.page)).toEqual([]);
  // No column of what it reckons with is out of sight.
  const hidden =
    "[...document.querySelectorAll('.wide')].filter((box) => box.scrollWidth > box.clientWidth).length";
  expect(await phone.page.evaluate(hidden)).toBe(0);
  // The port that was mistyped, and the moment in which the server began anew.
  const unexpected = [...desk.complaints, ...phone.complaints].filter(
    (complaint) => !/WebSocket|ERR_CONNECTION_REFUSED|Failed to load resource/.test(complaint),
  );
  expect(unexpected).toEqual([]);
}, 90_000);
