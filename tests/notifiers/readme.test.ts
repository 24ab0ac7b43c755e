/** What the page for receivers says is run as it stands there. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { notice, STORY_MS } from './notices.ts';
import { startWeb } from './peers.ts';
import { ownFolder, startTelling, webhook } from './telling.ts';

const PAGE = readFileSync(join(import.meta.dirname, '../../server/notifiers/README.md'), 'utf8');
const block = (language: string): string =>
  new RegExp(`\`\`\`${language}\n([\\s\\S]*?)\`\`\``).exec(PAGE)?.[1] ?? '';
const SECRET = 'correct horse battery staple';

test('the examples for verifying a webhook accept what was sent and nothing else', async () => {
  const web = await startWeb();
  const { notifiers } = startTelling(webhook(web.url, 'secret_env = "HOOK"'), { env: { HOOK: SECRET } });
  notifiers.tell([notice(1, { headline: 'The dryer’s heat is lost' })]);
  const { headers, body } = await web.posted.next();

  const folder = ownFolder();
  const file = join(folder, 'verify.mjs');
  writeFileSync(file, block('js'));
  const { isFromLowdew } = (await import(/* @vite-ignore */ pathToFileURL(file).href)) as {
    isFromLowdew(headers: object, body: Buffer, secret: string, nowS: number): boolean;
  };
  const nowS = STORY_MS / 1000;
  const bytes = Buffer.from(body);
  expect(isFromLowdew(headers, bytes, SECRET, nowS + 10)).toBe(true);
  expect(isFromLowdew(headers, bytes, 'another', nowS)).toBe(false);
  expect(isFromLowdew(headers, Buffer.from(body.replace('lost', 'fine')), SECRET, nowS)).toBe(false);
  expect(isFromLowdew(headers, bytes, SECRET, nowS + 301)).toBe(false);
  expect(isFromLowdew({ ...headers, 'lowdew-timestamp': String(nowS + 1) }, bytes, SECRET, nowS)).toBe(false);
  expect(isFromLowdew({}, bytes, SECRET, nowS)).toBe(false);

  writeFileSync(join(folder, 'body.json'), body);
  let printed: string;
  try {
    printed = execFileSync('sh', ['-c', `command -v openssl >/dev/null || exit 127; ${block('sh')}`], {
      cwd: folder,
      env: { ...process.env, SECRET, TIMESTAMP: String(headers['lowdew-timestamp']) },
    }).toString();
  } catch (error) {
    // A machine without openssl cannot say.
    if ((error as { status?: number }).status === 127) return;
    throw error;
  }
  expect(`sha256=${printed.trim()}`).toBe(headers['lowdew-signature']);
});

test('every topic that is published and every code that is answered stands on the page', () => {
  const source = (name: string): string =>
    readFileSync(join(import.meta.dirname, `../../server/notifiers/${name}`), 'utf8');
  const codes = [...source('answer.ts').matchAll(/^ {2}\| '([a-z-]+)'/gm)].map(([, code]) => code);
  expect(codes.length).toBeGreaterThan(15);
  for (const code of codes) expect(PAGE).toContain(`\`${code}\``);
  for (const topic of [
    'presence',
    'station/<station>/air',
    'station/<station>/soak',
    'spool/<spool>/drying',
    'notice',
  ])
    expect(PAGE).toContain(`| \`${topic}\``);
});
