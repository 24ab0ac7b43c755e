import { expect, test } from 'vitest';
import { valueNear } from '../../web/ruler/sample-near.ts';

const line = { atMs: [0, 10, 20, 100, 110], values: [1, 2, 3, 4, 5], silenceMs: 15 };

test.each<[atMs: number, value: number | null, where: string]>([
  [-1, null, 'before the first sample'],
  [0, 1, 'on a sample'],
  [4, 1, 'nearer to the sample before'],
  [6, 2, 'nearer to the sample after'],
  [30, null, 'inside a gap, however near its edge'],
  [60, null, 'in the middle of a gap'],
  [99, null, 'just before a gap ends'],
  [100, 4, 'where it ends'],
  [125, 5, 'after the last sample, within the silence that is no gap'],
  [126, null, 'longer after it'],
])('at %i it is %s: %s', (atMs, value) => {
  expect(valueNear(line, atMs)).toBe(value);
});
