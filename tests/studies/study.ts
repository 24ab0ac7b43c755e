/**
 * Runs the kept studies: `npm run study -- soak start drying ceilings`; without names, all. Broken off, it goes on where it was.
 * `npm run study -- drying 1/2` and `… 2/2` side by side share the seeds; the table is of all that is there.
 * Rows, commit and seeds are kept in dist/studies/<name>.json beside the table.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { CEILINGS_STUDY } from './ceilings.ts';
import { DRYING_STUDY } from './drying.ts';
import { runStudy, type Study } from './kept-rows.ts';
import { SOAK_STUDY } from './soak.ts';
import { START_FOLLOWED_STUDY, START_STUDY } from './start.ts';

const FOLDER = 'dist/studies';
/** What figures depend on, where a study does not say it closer. */
const JUDGED = ['server/estimators', 'server/physics', 'simulators', 'tests/studies'];
/** Kept rows, and what only counts and writes them. */
const COUNTED = ['*.json', '*-figures.ts', '*.test.ts', 'kept-rows.ts', 'study.ts'].map(
  (name) => `:(exclude)tests/studies/${name}`,
);

const git = (...words: string[]): string => execFileSync('git', words, { encoding: 'utf8' });
const commit = git('log', '-1', '--format=%h').trim();
const keyOf = (judged: readonly string[]): string =>
  createHash('sha256')
    .update(git('ls-files', '--stage', '--', ...judged, ...COUNTED))
    .digest('hex')
    .slice(0, 10);

const words = process.argv.slice(2);
const share = words.map((word) => /^([1-9])\/([1-9])$/.exec(word)).find((found) => found !== null);
const part = share ? { part: Number(share[1]), of: Number(share[2]) } : { part: 1, of: 1 };
const wanted = words.filter((word) => !word.includes('/'));

function run<Row>(study: Study<Row>): void {
  if (wanted.length > 0 && !wanted.includes(study.name)) return;
  console.log(runStudy(study, FOLDER, { commit, key: keyOf(study.judged ?? JUDGED) }, part, console.log));
}

const names = [
  DRYING_STUDY.name,
  SOAK_STUDY.name,
  START_STUDY.name,
  START_FOLLOWED_STUDY.name,
  CEILINGS_STUDY.name,
];
const unknown = wanted.filter((name) => !names.includes(name));
if (unknown.length > 0) {
  console.error(`No study ${unknown.join(', ')}; there are ${names.join(', ')}.`);
  process.exitCode = 2;
} else {
  run(DRYING_STUDY);
  run(SOAK_STUDY);
  run(START_STUDY);
  run(START_FOLLOWED_STUDY);
  run(CEILINGS_STUDY);
}
