/** What the browser tests ask of a page they look at. Scripts are texts: the tests themselves know no DOM. */
import AxeBuilder from '@axe-core/playwright';
import type { Browser, Page } from 'playwright-core';
import { onTestFinished } from 'vitest';
import { type Look, openContext } from './browser.ts';

export interface Visit {
  readonly page: Page;
  /** Anything the browser complained of: scripts, policy, missing files. */
  readonly complaints: string[];
}

/** Opens a page in a context of its own, which ends with the test. */
export async function visit(browser: Browser, look: Look, url: string): Promise<Visit> {
  const context = await openContext(browser, look);
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  await page.goto(url);
  return { page, complaints };
}

/** The heading, with plain spaces. */
export async function heading(page: Page): Promise<string> {
  return ((await page.locator('h1').textContent()) ?? '').replaceAll('\u00a0', ' ');
}

/** Violations of the accessibility rules, each with where it is. */
export async function violations(page: Page): Promise<string[]> {
  const { violations: found } = await new AxeBuilder({ page })
    .options({ resultTypes: ['violations'] })
    .analyze();
  return found.flatMap((rule) =>
    rule.nodes.map((node) => `${rule.id}: ${node.target.join(' ')}: ${node.html}`),
  );
}

/** How far the page is wider than its window, px. */
export const sidewaysPx = (page: Page): Promise<number> =>
  page.evaluate<number>('document.documentElement.scrollWidth - document.documentElement.clientWidth');

/**
 * Height, px from the lane's top, at which a lane shows a value, read off its own axis: the words of the ticks and
 * where they stand.
 */
export async function axisHeight(page: Page, lane: 'upper' | 'lower', value: number): Promise<number> {
  const ticks = await page.evaluate<[number, number][]>(`
    [...document.querySelectorAll('[data-lane=${lane}] .marks text[text-anchor=end]')]
      .map((text) => [Number(text.textContent), Number(text.getAttribute('y')) - 4])
      .filter(([number]) => Number.isFinite(number))`);
  const [first, last] = [ticks[0], ticks.at(-1)];
  if (!first || !last || first === last) throw new Error(`no axis on the ${lane} lane`);
  return first[1] + ((value - first[0]) / (last[0] - first[0])) * (last[1] - first[1]);
}

/** Heights, px from the lane's top, of all painted pixels in the canvas column `xPx` (px from the lane's left). */
export const paintedHeights = (page: Page, lane: 'upper' | 'lower', xPx: number): Promise<number[]> =>
  page.evaluate<number[]>(`(() => {
    const canvas = document.querySelector('[data-lane=${lane}] canvas');
    if (!canvas) return [];
    const scale = canvas.width / canvas.clientWidth;
    const column = canvas.getContext('2d').getImageData(Math.round(${xPx} * scale), 0, 1, canvas.height).data;
    const heights = [];
    for (let y = 0; y < canvas.height; y++) if (column[4 * y + 3] > 120) heights.push(y / scale);
    return heights;
  })()`);

/** Where *now* stands, px from the lanes' left. */
export const nowPx = (page: Page): Promise<number> =>
  page.evaluate<number>(`(() => {
    const now = document.querySelector('.strip .now').getBoundingClientRect();
    return now.left + now.width / 2 - document.querySelector('.strip').getBoundingClientRect().left;
  })()`);
