/** A study's rows, one seed a line, kept so that a study can be broken off and gone on with; commit and seeds beside them. */
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Study<Row> {
  readonly name: string;
  readonly seeds: readonly number[];
  run(seed: number): Row[];
  table(rows: readonly Row[]): string;
}

interface Line<Row> {
  readonly seed: number;
  readonly commit: string;
  readonly rows: readonly Row[];
}

/** Runs what is missing of a study; rows of another commit are run again. Returns the table. */
export function runStudy<Row>(
  study: Study<Row>,
  folder: string,
  commit: string,
  say: (text: string) => void,
): string {
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${study.name}.jsonl`);
  const kept = new Map<number, Line<Row>>();
  if (existsSync(path))
    for (const text of readFileSync(path, 'utf8').split('\n').filter(Boolean)) {
      const line = JSON.parse(text) as Line<Row>;
      if (line.commit === commit) kept.set(line.seed, line);
    }
  study.seeds.forEach((seed, i) => {
    if (kept.has(seed)) return;
    const line: Line<Row> = { seed, commit, rows: study.run(seed) };
    kept.set(seed, line);
    appendFileSync(path, `${JSON.stringify(line)}\n`);
    if (i % 10 === 9) say(`${study.name}: ${i + 1} of ${study.seeds.length}`);
  });
  const rows = study.seeds.flatMap((seed) => kept.get(seed)!.rows);
  const table = study.table(rows);
  const [first] = study.seeds;
  writeFileSync(
    join(folder, `${study.name}.json`),
    JSON.stringify({ study: study.name, commit, seeds: { first, count: study.seeds.length }, table, rows }),
  );
  return table;
}
