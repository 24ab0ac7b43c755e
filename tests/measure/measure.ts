/**
 * `npm run measure`: speeds of the parts, each as a ratio to a yardstick measured in the same run, since machines are
 * shared and noisy. Medians of interleaved rounds. Prints a table and keeps dist/measure.json.
 * `npm run measure -- line air` runs only the named rows.
 */
import { writeFileSync } from 'node:fs';
import os from 'node:os';
import type { Measured } from './rounds.ts';
import { ROWS } from './rows.ts';

const asked = process.argv.slice(2);
const results: Measured[] = [];
for (const row of ROWS) {
  if (asked.length > 0 && !asked.includes(row.id)) continue;
  results.push(...(await row.run()));
}
const width = Math.max(...results.map(({ name }) => name.length));
console.log(`${'what'.padEnd(width)}  ${'measured'.padStart(16)}  ${'ratio'.padStart(7)}  aim`);
for (const { name, value, unit, ratio, aim, met, yardstick } of results) {
  const shown = `${value >= 1000 ? Math.round(value).toLocaleString('en') : value.toPrecision(3)} ${unit}`;
  const of = ratio === null ? '' : ratio.toFixed(2);
  console.log(
    `${name.padEnd(width)}  ${shown.padStart(16)}  ${of.padStart(7)}  ${aim} ${met ? 'met' : 'MISSED'}  (${yardstick})`,
  );
}
const machine = `${os.cpus()[0]?.model ?? 'unknown'}, ${os.cpus().length} cores, load ${os.loadavg()[0]?.toFixed(1)}, Node ${process.version}`;
console.log(machine);
writeFileSync(
  new URL('../measure.json', import.meta.url),
  `${JSON.stringify({ machine, results }, null, 1)}\n`,
);
