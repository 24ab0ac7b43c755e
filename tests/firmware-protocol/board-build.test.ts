/** The built firmware beside its sources: it fits the chip, it is what the sources say, and it does without floats. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { firmwareImage, readIntelHex, variableAt } from '../../simulators/avr/firmware-image.ts';

const BOARD = join(import.meta.dirname, '../../firmware-protocol/board');
const read = (folder: string, ending: string): string =>
  readFileSync(join(folder, `lowdew-atmega328p.${ending}`), 'latin1');
const BUILT = join(BOARD, 'built');

/** Half of the chip's flash, and half of its memory: the rest of it is the stack's and a boot loader's. */
const MOST_FLASH_BYTES = 16 * 1024;
const MOST_STATIC_BYTES = 768;
/** Debian's, with which the bytes in built/ were made; another compiler makes other bytes from the same sources. */
const COMPILER = '5.4.0';

const version = spawnSync('avr-gcc', ['-dumpversion'], { encoding: 'latin1' }).stdout?.trim() ?? '';
const isSame = version === COMPILER;
if (!isSame)
  console.log(
    version === ''
      ? 'No avr-gcc on this machine: the built firmware is run, but not built anew.'
      : `avr-gcc is ${version}, the built firmware is from ${COMPILER}: the bytes are not compared.`,
  );

test('flash and static memory keep within their halves', () => {
  const image = firmwareImage(read(BUILT, 'hex'), read(BUILT, 'sym'));
  expect(image.flashBytes).toBeGreaterThan(4096);
  expect(image.flashBytes).toBeLessThanOrEqual(MOST_FLASH_BYTES);
  const staticBytes = variableAt(image, '__heap_start') - variableAt(image, '__data_start');
  expect(staticBytes).toBeGreaterThan(256);
  expect(staticBytes).toBeLessThanOrEqual(MOST_STATIC_BYTES);
});

test('no floating point and no heap are linked in', () => {
  const names = [...firmwareImage(read(BUILT, 'hex'), read(BUILT, 'sym')).symbols.keys()];
  expect(names).toContain('ld1_end');
  expect(
    names.filter((name) => /^__(add|sub|mul|div|cmp|float|fix)\w*sf|^(malloc|free|realloc)$/.test(name)),
  ).toEqual([]);
});

test('a damaged byte in the HEX file is noticed', () => {
  const hex = read(BUILT, 'hex');
  const at = hex.indexOf('\n', 2000) + 12;
  const damaged = hex.slice(0, at) + (hex[at] === '0' ? '1' : '0') + hex.slice(at + 1);
  expect(() => readIntelHex(damaged)).toThrow(/Line \d+ of the HEX file is damaged/);
  expect(() => readIntelHex(hex.slice(0, hex.lastIndexOf(':')))).toThrow(/no end record/);
});

test.runIf(isSame)('built anew, the firmware is the same to the byte', () => {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-rebuilt-'));
  try {
    const sizes = execFileSync(process.execPath, [join(BOARD, 'build.mjs'), folder], { encoding: 'latin1' });
    for (const ending of ['hex', 'sym'])
      expect(read(folder, ending) === read(BUILT, ending), `${ending} differs: run build.mjs`).toBe(true);
    // avr-size counts program and initial data, which is what the HEX file holds.
    const [text = 0, data = 0] = (sizes.split('\n')[1] ?? '').trim().split(/\s+/).map(Number);
    expect(text + data).toBe(readIntelHex(read(BUILT, 'hex')).flashBytes);
  } finally {
    rmSync(folder, { recursive: true });
  }
});
