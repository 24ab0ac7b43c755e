/** A drying run of the simulated bench as a printable page: figures, vectors, sources, and the ways out of it. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Program, startProgram } from '../flows/program.ts';
import { launchBrowser, TWO_LOOKS, takePicture } from './browser.ts';
import { sidewaysPx, violations, visit } from './looking.ts';

let browser: Browser;
let program: Program;
let url: string;

beforeAll(async () => {
  browser = await launchBrowser();
  program = startProgram(['run', '--simulate', 'gear-overnight', '--past', '3', '--listen', '127.0.0.1:0']);
  url = (await program.says(/The page: (\S+)/))[1] ?? '';
}, 60_000);
afterAll(async () => {
  await browser?.close();
  program?.child.kill('SIGKILL');
});

test.each(TWO_LOOKS)('the report of a drying run reads whole and breaks no rule, %o', async (look) => {
  const { page, complaints } = await visit(browser, look, `${url}/report?spool=gear`);
  await page.getByRole('heading', { name: /^Drying of gear, as of/ }).waitFor();
  // Invented readings say so on paper too.
  await page.getByText('SIMULATED: all figures are invented.').waitFor();
  const moisture = page.getByRole('img', { name: /^Moisture of the spool: \d/ });
  await moisture.locator('path.curve').waitFor();
  expect(await moisture.locator('path.band').count()).toBe(1);
  await page.getByRole('region', { name: 'Figures' }).getByText('Wettest turn').waitFor();
  // Every constant with its source.
  await page
    .getByRole('row', { name: /^diffusivity .*m²\/s/ })
    .first()
    .waitFor();
  await takePicture(page, `report-drying-${look.width}-${look.scheme}`);
  expect(await violations(page)).toEqual([]);
  expect(await sidewaysPx(page)).toBe(0);

  const csv = await page.getByRole('link', { name: 'As a table (CSV)' }).getAttribute('href');
  const table = await (await fetch(`${url}${csv}`)).text();
  expect(table.split('\n')[0]).toContain('gear.moisture_p50');
  expect(table.split('\n').length).toBeGreaterThan(20);
  await page.getByRole('link', { name: 'This span on the ruler' }).click();
  await page.locator('.plate').waitFor();
  expect(complaints).toEqual([]);
});

test('on paper it stands upright, with its dates, while the Bench lies on its side', async () => {
  const { page } = await visit(browser, TWO_LOOKS[0]!, `${url}/report?spool=gear`);
  await page.getByText(/^From \d+ \w+ \d{4}, \d\d:\d\d to /).waitFor();
  await page.getByRole('region', { name: 'Figures' }).waitFor();
  // A4 is 210 × 297 mm (ISO 216): 595 × 842 points of 1/72 inch.
  const sizes = async (): Promise<string[]> => {
    const text = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const boxes = [...text.matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g)];
    return [
      ...new Set(
        boxes.map(([, width, height]) => `${Math.round(Number(width))} ${Math.round(Number(height))}`),
      ),
    ];
  };
  expect(await sizes()).toEqual(['595 842']);
  await page.goto(url);
  await page.locator('.plate').waitFor();
  expect(await sizes()).toEqual(['842 595']);
});

test('a job of seconds is too short to judge, and its report says nothing better', async () => {
  const enter = (entry: object): Promise<Response> =>
    fetch(new URL('/api/entries', url), {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(entry),
    });
  const job = 'brief';
  const started = await enter({ kind: 'job-start', job, spool: 'gear', grams: 5, hours: 1 });
  expect(started.status).toBeLessThan(300);
  expect((await enter({ kind: 'job-end', job })).status).toBeLessThan(300);
  const { page } = await visit(browser, TWO_LOOKS[0]!, `${url}/report?job=${job}`);
  await page.getByText('It was too short to judge.').waitFor();
  expect(await page.getByText('It kept its window all along.').count()).toBe(0);
});

test('what is not there is said, not drawn', async () => {
  const { page } = await visit(
    browser,
    TWO_LOOKS[0] ?? { width: 1280, scheme: 'light' },
    `${url}/report?job=none`,
  );
  await page.getByRole('heading', { name: 'There is nothing to report.' }).waitFor();
});
