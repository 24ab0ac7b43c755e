#!/usr/bin/env node
/**
 * The import table, checked: runs dependency-cruiser and makes sure that it really read the sources. Without a parser
 * for TypeScript it reports "no violations" over no modules at all.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import swc from '@swc/core';
import { cruise } from 'dependency-cruiser';
import rules from '../.dependency-cruiser.cjs';

// The cruiser asks its parser for plain TypeScript only, which stumbles over the page's JSX.
const { parseFileSync } = swc;
swc.parseFileSync = (path, options) =>
  parseFileSync.call(swc, path, { ...options, tsx: path.endsWith('.tsx') });

const ROOMS = ['firmware-protocol', 'server', 'web', 'simulators', 'tests'];
const sources = ROOMS.flatMap((room) =>
  readdirSync(room, { recursive: true })
    .map((path) => join(room, path))
    .filter((path) => /\.tsx?$/.test(path) && !path.endsWith('.d.ts') && !path.includes('.out')),
);

const { output } = await cruise(ROOMS, {
  ...rules.options,
  ruleSet: { forbidden: rules.forbidden },
  validate: true,
  exclude: '^(dist/|tests/\\.out/)',
});
const read = new Set(output.modules.map((module) => module.source));
const unread = sources.filter((path) => !read.has(path));
for (const { rule, from, to } of output.summary.violations) {
  const comment = rules.forbidden.find(({ name }) => name === rule.name)?.comment ?? '';
  console.error(`${from} → ${to}\n    ${rule.name}: ${comment}`);
}
if (unread.length > 0) console.error(`Not read by the import check: ${unread.slice(0, 10).join(', ')}`);
// The page takes types only: a value would drag the schemas into the browser. (The cruiser does not tell them apart.)
const dragging = sources.filter(
  (path) =>
    path.startsWith('web/') && /import (?!type )[^;]*from '[./]+\/server\//.test(readFileSync(path, 'utf8')),
);
for (const path of dragging) console.error(`${path} imports a value from server/: use "import type".`);
const arrows = output.modules.reduce((sum, module) => sum + module.dependencies.length, 0);
console.log(
  `${sources.length} source files, ${arrows} imports, ${output.summary.violations.length} forbidden`,
);
process.exitCode =
  output.summary.violations.length > 0 || unread.length > 0 || dragging.length > 0 || sources.length < 30
    ? 1
    : 0;
