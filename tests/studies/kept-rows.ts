/** A study's rows, one seed a line, kept so that a study can be broken off and gone on with; commit and seeds beside them. */
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Study<Row> {
  readonly name: string;
  readonly seeds: readonly number[];
  /** Files that its rows depend on, as git names them; left out: estimators, physics, simulators and studies, all. */
  readonly judged?: readonly string[];
  run(seed: number): Row[];
  table(rows: readonly Row[]): string;
}

interface Line<Row> {
  readonly seed: number;
  /** Of the content of the files judged: another commit elsewhere leaves the rows good. */
  readonly key: string;
  readonly rows: readonly Row[];
}

/** Which share of the seeds this process runs: part 1 of 2 and part 2 of 2 may run side by side. */
export interface Part {
  readonly part: number;
  readonly of: number;
}

/** Runs what is missing of a study; rows of other files than these are run again. Returns the table of all that is there. */
export function runStudy<Row>(
  study: Study<Row>,
  folder: string,
  { commit, key }: { readonly commit: string; readonly key: string },
  { part, of }: Part,
  say: (text: string) => void,
): string {
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${study.name}.jsonl`);
  const before = readLines<Row>(path, key);
  study.seeds.forEach((seed, i) => {
    if (i % of !== part - 1 || before.has(seed)) return;
    const line: Line<Row> = { seed, key, rows: study.run(seed) };
    appendFileSync(path, `${JSON.stringify(line)}\n`);
    say(`${study.name}: seed ${seed}, ${i + 1} of ${study.seeds.length}`);
  });
  const kept = readLines<Row>(path, key);
  const seeds = study.seeds.filter((seed) => kept.has(seed));
  const rows = seeds.flatMap((seed) => kept.get(seed)!.rows);
  const table = `${seeds.length} of ${study.seeds.length} seeds, from ${seeds[0]} on\n${study.table(rows)}`;
  writeFileSync(
    join(folder, `${study.name}.json`),
    JSON.stringify(
      { study: study.name, commit, key, seeds: { first: seeds[0], count: seeds.length }, table, rows },
      inFiveFigures,
    ),
  );
  return table;
}

/** Kept beside the code, a study need not say more than anyone reads of it. */
const inFiveFigures = (_: string, value: unknown): unknown =>
  typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(5)) : value;

function readLines<Row>(path: string, key: string): Map<number, Line<Row>> {
  const lines = new Map<number, Line<Row>>();
  if (!existsSync(path)) return lines;
  for (const text of readFileSync(path, 'utf8').split('\n').filter(Boolean)) {
    const line = JSON.parse(text) as Line<Row>;
    if (line.key === key) lines.set(line.seed, line);
  }
  return lines;
}
