#!/usr/bin/env node
/**
 * Compiles the sketch for an Uno with the Arduino core of the system (Debian: arduino-core-avr), as the Arduino
 * environment would: the core's own files, the two libraries, the sketch and the C side of LD1. Prints the sizes.
 *
 *   node firmware-protocol/board/sketch/check.mjs [file]     keeps the program as Intel HEX
 */
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const SKETCH = import.meta.dirname;
const ARDUINO = '/usr/share/arduino/hardware/arduino/avr';
const CORE = join(ARDUINO, 'cores/arduino');
const coreFiles = [
  'wiring.c',
  'wiring_analog.c',
  'wiring_digital.c',
  'hooks.c',
  'main.cpp',
  'abi.cpp',
  'HardwareSerial.cpp',
  'HardwareSerial0.cpp',
  'Print.cpp',
  'Stream.cpp',
].map((name) => join(CORE, name));
const libraries = ['Wire/src', 'Wire/src/utility', 'EEPROM/src'].map((name) =>
  join(ARDUINO, 'libraries', name),
);
const libraryFiles = [join(libraries[0], 'Wire.cpp'), join(libraries[1], 'twi.c')];

const work = mkdtempSync(join(tmpdir(), 'lowdew-sketch-'));
const run = (program, ...args) =>
  execFileSync(program, args, { cwd: work, encoding: 'latin1', stdio: 'pipe' });
try {
  for (const name of ['ld1.h', 'ld1.c', 'sensors.h', 'sensors.c'])
    copyFileSync(join(SKETCH, '..', name), join(work, name));
  writeFileSync(
    join(work, 'sketch.cpp'),
    `#include <Arduino.h>\n#line 1 "sketch.ino"\n${readFileSync(join(SKETCH, 'sketch.ino'), 'utf8')}`,
  );
  const board = [
    '-mmcu=atmega328p',
    '-DF_CPU=16000000L',
    '-DARDUINO=10819',
    '-DARDUINO_AVR_UNO',
    '-DARDUINO_ARCH_AVR',
  ];
  const folders = [CORE, join(ARDUINO, 'variants/standard'), ...libraries].map((folder) => `-I${folder}`);
  const flags = [...board, ...folders, '-Os', '-ffunction-sections', '-fdata-sections'];
  const cpp = ['-std=gnu++11', '-fno-exceptions', '-fno-threadsafe-statics'];
  // Our own files as strictly as the core allows; the core's with whatever warnings they have.
  run('avr-g++', ...flags, ...cpp, '-Wall', '-Wextra', '-Werror', '-c', 'sketch.cpp');
  run('avr-gcc', ...flags, '-std=gnu11', '-Wall', '-Wextra', '-Werror', '-c', 'ld1.c', 'sensors.c');
  const isC = (name) => name.endsWith('.c');
  const theirs = coreFiles.concat(libraryFiles);
  run('avr-gcc', ...flags, '-std=gnu11', '-w', '-c', ...theirs.filter(isC));
  run('avr-g++', ...flags, ...cpp, '-w', '-c', ...theirs.filter((name) => !isC(name)));
  const objects = ['sketch.cpp', 'ld1.c', 'sensors.c', ...theirs].map(
    (name) =>
      `${name
        .split('/')
        .at(-1)
        .replace(/\.\w+$/, '')}.o`,
  );
  run('avr-gcc', '-mmcu=atmega328p', '-Os', '-Wl,--gc-sections', ...objects, '-lm', '-o', 'sketch.elf');
  if (process.argv[2]) run('avr-objcopy', '-O', 'ihex', 'sketch.elf', resolve(process.argv[2]));
  process.stdout.write(run('avr-size', 'sketch.elf'));
} finally {
  rmSync(work, { recursive: true });
}
