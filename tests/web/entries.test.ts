import { expect, test } from 'vitest';
import { readGrams, refusalOf, sayEntry } from '../../web/entries.ts';

const plain = (text: string): string => text.replaceAll(/[\u00a0\u2009]/g, ' ');

test.each([
  ['742.5', 742.5],
  [' 742,5 ', 742.5],
  ['742 g', 742],
  ['1 204', 1204],
  ['1\u2009204.25 g', 1204.25],
])('%j is read', (text, massG) => {
  expect(readGrams(text, 480)).toEqual({ ok: true, massG, doubt: null });
});

test.each([
  ['', 'no-number'],
  ['about 700', 'no-number'],
  ['7e2', 'no-number'],
  ['1.204,5', 'no-number'],
  ['NaN', 'no-number'],
  ['0', 'too-little'],
  ['-5', 'too-little'],
  ['50000', 'too-much'],
])('%j is refused as %s', (text, reason) => {
  expect(readGrams(text, 480)).toMatchObject({ ok: false, reason });
});

test('less than the filament alone is doubted, not refused', () => {
  const read = readGrams('212', 480);
  expect(read).toMatchObject({ ok: true, massG: 212 });
  expect(read.ok && plain(read.doubt ?? '')).toBe(
    'Less than the 480 g of filament alone. Press again to enter it all the same.',
  );
});

test('what was taken is told as finely as the scale shows it', () => {
  const weighIn = { kind: 'weigh-in', spool: 'gear', massG: 742.5 } as const;
  expect(plain(sayEntry({ ...weighIn, resolutionG: 0.1 }))).toBe('weighed 742.5 g, scale step 0.1 g');
  expect(plain(sayEntry({ ...weighIn, massG: 743 }))).toBe('weighed 743 g, scale step 1 g');
  expect(sayEntry({ kind: 'lid', station: 'box' })).toBe('lid opened');
  expect(sayEntry({ kind: 'bagged', spool: 'gear' })).toBe('spool bagged');
});

test('a refusal is told in the server’s words, where it gave any', () => {
  expect(refusalOf(422, { error: { code: 'unknown-name', message: 'No spool is called "x".' } })).toBe(
    'No spool is called "x".',
  );
  expect(refusalOf(502, null)).toBe('refused without words (502).');
  expect(refusalOf(500, { error: 'odd' })).toBe('refused without words (500).');
});
