import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { build } from 'esbuild';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { happenings } from '../notifiers/events.ts';
import { notice } from '../notifiers/notices.ts';
import { startWeb, status } from '../notifiers/peers.ts';
import { ownFolder } from '../notifiers/telling.ts';

const ROOT = join(import.meta.dirname, '../..');
/** Inside the project, so that packages with native parts are found from there. */
const BUNDLE = join(ROOT, 'tests/.out', `killed-child-${process.pid}.mjs`);

beforeAll(async () => {
  await build({
    entryPoints: [join(ROOT, 'tests/flows/killed-child.ts')],
    outfile: BUNDLE,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    external: ['@photostructure/sqlite', 'mqtt', 'nodemailer'],
    logLevel: 'warning',
  });
});
afterAll(() => rmSync(BUNDLE, { force: true }));

function startChild(...args: string[]) {
  const child = spawn(process.execPath, [BUNDLE, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  const said = happenings<string>();
  createInterface({ input: child.stdout }).on('line', (line) => said.push(line));
  return {
    said,
    async killed() {
      child.kill('SIGKILL');
      await once(child, 'exit');
    },
  };
}

const idOf = (body: string): string =>
  (JSON.parse(body) as { notices: { id: string }[] }).notices[0]?.id ?? '';

test('killed after recording and before sending, it is told after the start, once, with the same id', async () => {
  const folder = ownFolder();
  const web = await startWeb();
  const first = startChild(folder, web.url, JSON.stringify(notice(1)), 'before-sending');
  expect(await first.said.next()).toBe('recorded');
  await first.killed();
  expect(web.posted.all).toHaveLength(0);
  const second = startChild(folder, web.url);
  expect(idOf((await web.posted.next()).body)).toBe(notice(1).id);
  expect(await second.said.next()).toBe('sent');
  await second.killed();
  // Told and noted: the next start says nothing more.
  const third = startChild(folder, web.url, JSON.stringify(notice(2)));
  expect(await third.said.next()).toBe('recorded');
  expect(idOf((await web.posted.next()).body)).toBe(notice(2).id);
  expect(web.posted.all).toHaveLength(2);
});

test('killed while the receiver has it and has not answered, it is told again with the same id', async () => {
  const folder = ownFolder();
  const web = await startWeb(() => {});
  const first = startChild(folder, web.url, JSON.stringify(notice(1)));
  const { body } = await web.posted.next();
  await first.killed();
  web.answer(status(200));
  const second = startChild(folder, web.url);
  const again = await web.posted.next();
  expect(await second.said.next()).toBe('sent');
  expect(again.body).toBe(body);
  expect(again.headers['lowdew-notice']).toBe(notice(1).id);
});
