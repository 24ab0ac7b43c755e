import { expect, test } from 'vitest';
import { doubtBeside, readGrams, refusalOf, sayEntry } from '../../web/entries.ts';

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

test('more than filament and any reel is doubted: a digit or a point too many', () => {
  const read = readGrams('7592', 480);
  expect(read.ok && plain(read.doubt ?? '')).toBe(
    'More than 480 g of filament and any reel weigh. Press again to enter it all the same.',
  );
  expect(readGrams('1204', 480)).toMatchObject({ doubt: null });
});

test('filament that jobs took is not missed on the scale', () => {
  expect(readGrams('400', 480)).toMatchObject({ doubt: expect.stringContaining('filament alone') });
  expect(readGrams('400', 480, 200)).toMatchObject({ doubt: null });
});

test('far from the last weigh-in of the same spool is doubted, water and jobs allowed for', () => {
  const spool = { netMassG: 480, takenG: 0 };
  // 15 % of 480 g are 72 g; polyamide 6 takes up some 9.5 % in water (ISO 62 saturation, makers' data sheets).
  for (const massG of [759 - 71, 759 + 46, 759 + 71]) expect(doubtBeside(massG, 759, spool)).toBeNull();
  expect(plain(doubtBeside(1104, 759, spool) ?? '')).toBe(
    'Far from the 759 g it weighed last: more than water could make it. Press again to enter it all the same.',
  );
  expect(doubtBeside(600, 759, spool)).not.toBeNull();
  expect(doubtBeside(600, 759, { ...spool, takenG: 120 })).toBeNull();
});

test('a decimal typed beside a coarser scale step is not rounded off in words', () => {
  const read = readGrams('759,2', 480);
  expect(read).toMatchObject({ ok: true, massG: 759.2, doubt: null });
  expect(plain(sayEntry({ kind: 'weigh-in', spool: 'gear', massG: 759.2, resolutionG: 1 }))).toBe(
    'weighed 759.2 g, scale step 1 g',
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
