import { chmodSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { createGate, keepToken } from '../../server/api/token.ts';

function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-api-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

test('a token is made once, kept for its owner alone, and never the same elsewhere', () => {
  const path = join(ownFolder(), 'data', 'token');
  const first = keepToken(path);
  expect(first).toMatchObject({
    isNew: true,
    wasExposed: false,
    token: expect.stringMatching(/^[\w-]{32}$/),
  });
  expect(statSync(path).mode & 0o777).toBe(0o600);
  expect(readFileSync(path, 'utf8')).toBe(`${first.token}\n`);
  expect(keepToken(path)).toEqual({ token: first.token, isNew: false, wasExposed: false });
  expect(keepToken(join(ownFolder(), 'token')).token).not.toBe(first.token);
});

test('a token that others can read is closed to them, and that is told', () => {
  const path = join(ownFolder(), 'token');
  const { token } = keepToken(path);
  chmodSync(path, 0o644);
  expect(keepToken(path)).toEqual({ token, isNew: false, wasExposed: true });
  expect(statSync(path).mode & 0o777).toBe(0o600);
});

test('a token that is none, or a place that cannot hold one, is an error with the remedy', () => {
  const folder = ownFolder();
  writeFileSync(join(folder, 'token'), 'secret');
  const code = (path: string) => {
    try {
      keepToken(path);
    } catch (error) {
      return [(error as { code?: string }).code, (error as Error).message];
    }
    return [];
  };
  expect(code(join(folder, 'token'))).toEqual(['token-file', expect.stringContaining('Delete it')]);
  expect(code(join(folder, 'token', 'below'))[0]).toBe('token-file');
});

test('only the token, or the cookie made from it, opens the gate', () => {
  const gate = createGate('a'.repeat(32));
  const cookie = gate.cookie(false).split(';', 1)[0] ?? '';
  expect(gate.isOpenTo({ cookie })).toBe(true);
  expect(gate.isOpenTo({ cookie: `theme=dark; lowdew_entry=stale; ${cookie}; x=1` })).toBe(true);
  expect(gate.isOpenTo({ authorization: `Bearer ${'a'.repeat(32)}` })).toBe(true);
  for (const headers of [
    {},
    { cookie: '' },
    { cookie: `lowdew_entry=${'a'.repeat(32)}` },
    { cookie: cookie.slice(0, -1) },
    { cookie: `x${cookie}` },
    { authorization: `Bearer ${'a'.repeat(31)}b` },
    { authorization: `Bearer ${'a'.repeat(33)}` },
    { authorization: 'a'.repeat(32) },
    { authorization: 'Bearer ' },
    { cookie: createGate('b'.repeat(32)).cookie(false).split(';', 1)[0] ?? '' },
  ])
    expect(gate.isOpenTo(headers), JSON.stringify(headers)).toBe(false);
  expect([gate.isToken('a'.repeat(32)), gate.isToken(''), gate.isToken('ä'.repeat(32))]).toEqual([
    true,
    false,
    false,
  ]);
});

test('the cookie is out of reach of scripts and other sites, and does not hold the token', () => {
  const token = 'c'.repeat(32);
  const cookie = createGate(token).cookie(false);
  expect(cookie).toMatch(/^lowdew_entry=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/; Max-Age=\d+$/);
  expect(cookie).not.toContain(token);
  expect(createGate(token).cookie(true)).toMatch(/; Secure$/);
});
