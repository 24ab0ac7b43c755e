import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { encodeReading } from '../../firmware-protocol/encode.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { type Program, startProgram } from '../flows/program.ts';
import { LOOKS, launchBrowser, takePicture } from './browser.ts';
import { axisHeight, heading, nowPx, paintedHeights, visit } from './looking.ts';

/** The whole way of a reading: bytes on a real serial port, through the built program, to a figure and a pixel. */
let browser: Browser;
let pty: Pty;
let program: Program;
const folder = mkdtempSync(join(tmpdir(), 'lowdew-pixel-'));

beforeAll(async () => {
  [browser, pty] = await Promise.all([launchBrowser(), openPty()]);
  const bench = join(folder, 'bench.toml');
  writeFileSync(
    bench,
    `[[source]]\nid = "usb"\nport = "${pty.path}"\n[[station]]\nid = "rig"\nrole = "chamber"\n[[station]]\nid = "room"\nrole = "room"\n`,
  );
  program = startProgram([
    'run',
    '--bench',
    bench,
    '--data',
    join(folder, 'data'),
    '--listen',
    '127.0.0.1:0',
  ]);
});
afterAll(async () => {
  await browser?.close();
  program?.child.kill('SIGKILL');
  pty?.unplug();
  rmSync(folder, { recursive: true, force: true });
});

test('bytes on a serial port become a figure and a pixel at its height', async () => {
  const url = (await program.says(/The page: (http:\S+)/))[1]!;
  await program.says(/is open\./);
  const { page, complaints } = await visit(browser, LOOKS[0]!, url);
  await page
    .getByRole('heading', { name: 'Nothing has been heard yet from the chamber and the room.' })
    .waitFor();
  await page.getByRole('button', { name: '10 min' }).click();

  let seq = 0;
  const speak = (values: Record<string, number>): void => {
    const line = encodeReading({
      station: 'rig',
      boot: '3f2a',
      seq,
      uptimeMs: 5000 + 100 * seq,
      values,
      faults: {},
    });
    seq++;
    pty.write(`${line}\n`);
  };
  // A line only shows on the canvas once it is a few pixels long: some seconds of ten minutes. The board keeps on.
  const talking = setInterval(() => speak({ t: 47.31, rh: 21.4 }), 100);
  try {
    await page.locator('[data-station=rig]').getByText('47.3', { exact: true }).waitFor();
    await page.locator('[data-lane=lower] .marks .ring').waitFor();
    await expect
      .poll(
        async () => {
          const [now, expectedY] = [await nowPx(page), await axisHeight(page, 'lower', 47.31)];
          const columns = await Promise.all(
            [2, 3, 4].map((back) => paintedHeights(page, 'lower', now - back)),
          );
          const off = columns.flat().map((y) => Math.abs(y - expectedY));
          return off.length >= 3 && Math.max(...off) < 2.5;
        },
        { timeout: 15_000 },
      )
      .toBe(true);
    expect((await heading(page)).replaceAll('\u00a0', ' ')).toBe(
      'Cannot tell: nothing has been heard yet from the room.',
    );
    await takePicture(page, 'from-a-real-port');
  } finally {
    clearInterval(talking);
  }
  const vapour = await page.locator('[data-station=rig] td').nth(4).locator('.v').textContent();
  // Steam tables: saturated vapour at 45 °C 65.4 g/m³, at 50 °C 83.0; between them about 73, and 21.4 % of that 15.6.
  expect(Number(vapour)).toBeGreaterThan(14.9);
  expect(Number(vapour)).toBeLessThan(16.2);

  pty.unplug();
  await page.locator('.sources .trouble').waitFor();
  expect(complaints).toEqual([]);
});
