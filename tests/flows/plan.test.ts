import { expect, test } from 'vitest';
import type { AnyAnswer } from '../../server/planner/answer.ts';
import { PLANNER } from '../../server/planner/planner.ts';
import { startProgram } from './program.ts';

async function plan(...args: string[]): Promise<{ code: number | null; out: string; err: string }> {
  const program = startProgram(['plan', ...args]);
  const code = await program.ended();
  return { code, out: program.out(), err: program.err() };
}

test('the command line gives the numbers that the page is given', async () => {
  const { code, out } = await plan('dry', '--box-c', '80', '--material', 'pa12', '--format', 'json');
  expect(code).toBe(0);
  const asked = PLANNER.answer('dry', { boxC: '80', material: 'pa12' });
  expect(asked.ok && JSON.parse(out)).toEqual(asked.ok && JSON.parse(JSON.stringify(asked.answer)));
  expect((JSON.parse(out) as AnyAnswer).kind).toBe('dry');
});

test('it says in words what comes out, what was taken for granted and what it rests on', async () => {
  const { code, out } = await plan('lie-out', '--material', 'petg', '--start-wt-percent', '0.02');
  expect(code).toBe(0);
  expect(out).toMatch(/outer turns over it after +\d[\d.]* (min|h|days) \(nine in ten: /);
  expect(out).toContain('common practice, no source');
  expect(out).toContain('Taken for granted:');
  expect(out).toMatch(/diffusivity: 1e-12 m²\/s at 23 °C \([a-z-]+; /);
});

test('a mistaken blank is named by its option, and ends with 2', async () => {
  const { code, out, err } = await plan('store', '--bag-area-m2', '90', '--film', 'paper');
  expect(code).toBe(2);
  expect(out).toBe('');
  expect(err).toContain('--bag-area-m2: The area of the bag, both sides must be from 0.02 to 3 m², not 90.');
  expect(err).toContain('--film: The film of the bag must be one of ldpe');
});
