#!/usr/bin/env node
/**
 * Builds the reference firmware with avr-gcc (Debian: gcc-avr, avr-libc) into built/: the program as Intel HEX, and the
 * list of its symbols. The same sources and compiler give the same bytes.
 *
 *   node firmware-protocol/board/build.mjs [folder] [-DNAME=VALUE ...]     another folder than built/
 */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const BOARD = import.meta.dirname;
const NAME = 'lowdew-atmega328p';
const isDefinition = (argument) => argument.startsWith('-D');
const definitions = process.argv.slice(2).filter(isDefinition);
const folder = process.argv.slice(2).find((argument) => !isDefinition(argument));
// A board of one's own does not go where the tests look for the reference.
if (definitions.length > 0 && folder === undefined)
  throw new Error('Definitions need a folder to build into.');
const into = resolve(folder ?? join(BOARD, 'built'));

const run = (program, ...args) => execFileSync(program, args, { cwd: BOARD, encoding: 'latin1' });
const sources = [
  'ld1.c',
  'sensors.c',
  ...readdirSync(join(BOARD, 'atmega328p'))
    .filter((name) => name.endsWith('.c'))
    .sort()
    .map((name) => `atmega328p/${name}`),
];
const work = mkdtempSync(join(tmpdir(), 'lowdew-firmware-'));
try {
  const elf = join(work, `${NAME}.elf`);
  // gnu11 for the register names' asm and the section attributes; the two portable files are C11 and tested as such.
  const flags = [
    '-std=gnu11',
    '-Os',
    '-Wall',
    '-Wextra',
    '-Werror',
    '-mmcu=atmega328p',
    '-DF_CPU=16000000UL',
  ];
  const sizes = ['-fshort-enums', '-ffunction-sections', '-fdata-sections', '-Wl,--gc-sections'];
  run('avr-gcc', ...flags, ...definitions, ...sizes, ...sources, '-o', elf);
  mkdirSync(into, { recursive: true });
  const hex = join(work, `${NAME}.hex`);
  run('avr-objcopy', '-O', 'ihex', elf, hex);
  writeFileSync(join(into, `${NAME}.hex`), readFileSync(hex, 'latin1').replaceAll('\r', ''));
  // What has an address: code and variables. The rest are the linker's and the compiler's own names.
  const symbols = run('avr-nm', '-n', elf)
    .split('\n')
    .filter((row) => /^[0-9a-f]+ [TtWBbDdVN] [A-Za-z_]\w*$/.test(row) && !row.endsWith(' __heap_end'));
  writeFileSync(join(into, `${NAME}.sym`), `${symbols.join('\n')}\n`);
  process.stdout.write(run('avr-size', elf));
} finally {
  rmSync(work, { recursive: true });
}
