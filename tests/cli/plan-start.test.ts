import { expect, test } from 'vitest';
import { planStartFromServer } from '../../server/cli/plan-start.ts';

const COMMAND = {
  query: { spool: 'gear', grams: 150, hours: 7 },
  withChamber: true,
  format: 'text',
} as const;

test.each(['nonsense', 'localhost:7323', 'file:///bench'])('%s is said to be no address', async (url) => {
  const said: string[] = [];
  const terminal = { out: () => {}, err: (line: string) => void said.push(line) };
  expect(await planStartFromServer(COMMAND, url, null, terminal)).toBe(2);
  expect(said).toEqual([`--url ${url} is no address: give one like http://127.0.0.1:7323.`]);
});
