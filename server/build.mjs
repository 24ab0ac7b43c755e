#!/usr/bin/env node
import { existsSync } from 'node:fs';
/**
 * Bundles the program into dist/lowdew.mjs and the page into dist/web. Packages with native parts stay outside the
 * bundle; the rest goes in, since one file starts twice as fast as a tree of modules.
 */
import { chmod, cp, mkdir, readFile, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const { version } = JSON.parse(await readFile(join(root, 'package.json'), 'utf8'));
/** Not bundled: native parts, and what finds its own files beside itself. */
const NATIVE = [
  'serialport',
  '@serialport/*',
  '@photostructure/sqlite',
  'koffi',
  'pino',
  'playwright-core',
  '@sparticuz/chromium',
];

const server = (entry, outfile, more = {}) =>
  build({
    entryPoints: [{ in: join(root, entry), out: basename(outfile, '.mjs') }],
    outdir: join(root, dirname(outfile)),
    outExtension: { '.js': '.mjs' },
    bundle: true,
    platform: 'node',
    target: 'node20',
    format: 'esm',
    sourcemap: 'linked',
    // The source is held in memory as long as the program runs: without its white space, and in one byte a character,
    // it is a quarter of the size.
    minifyWhitespace: true,
    minifySyntax: true,
    charset: 'ascii',
    legalComments: 'none',
    external: NATIVE,
    define: { __LOWDEW_VERSION__: JSON.stringify(version) },
    // Packages in the old module form ask for `require` at run time.
    banner: {
      js: "import{createRequire as lowdewRequire}from'node:module';const require=lowdewRequire(import.meta.url);",
    },
    logLevel: 'warning',
    ...more,
  });

/** Mail and MQTT lie in parts of their own, read when first needed: all would pay for them in time and megabytes. */
const program = async () => {
  await rm(join(root, 'dist/parts'), { recursive: true, force: true });
  await server('server/main.ts', 'dist/lowdew.mjs', { splitting: true, chunkNames: 'parts/[name]-[hash]' });
};

const page = async () => {
  // Parts are named by their content: those of an older build would lie about for ever.
  await rm(join(root, 'dist/web'), { recursive: true, force: true });
  await mkdir(join(root, 'dist/web'), { recursive: true });
  await build({
    entryPoints: { app: join(root, 'web/main.tsx') },
    outdir: join(root, 'dist/web'),
    bundle: true,
    // A screen's code comes when it is first looked at.
    splitting: true,
    minify: true,
    format: 'esm',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    sourcemap: 'linked',
    logLevel: 'warning',
  });
  await cp(join(root, 'web/index.html'), join(root, 'dist/web/index.html'));
};

const tools = [
  ['tests/measure/measure.ts', 'dist/tests/measure.mjs'],
  ['tests/studies/study.ts', 'dist/tests/study.mjs'],
  ['tests/browser/picture.ts', 'dist/tests/picture.mjs'],
].filter(([entry]) => existsSync(join(root, entry)));

await Promise.all([program(), page(), ...tools.map(([entry, outfile]) => server(entry, outfile))]);
await chmod(join(root, 'dist/lowdew.mjs'), 0o755);
