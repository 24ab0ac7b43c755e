/** The Arduino sketch, compiled with the system's Arduino core where there is one, and run on the emulated chip. */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { emulatedBoard } from '../../simulators/avr/emulated-board.ts';
import { firmwareImage } from '../../simulators/avr/firmware-image.ts';
import { seededRandom } from '../../simulators/random.ts';
import { hasProgram } from './board-c.ts';

const CHECK = join(import.meta.dirname, '../../firmware-protocol/board/sketch/check.mjs');
const CORE = '/usr/share/arduino/hardware/arduino/avr/cores/arduino/Arduino.h';
const canCompile = hasProgram('avr-g++') && existsSync(CORE);
if (!canCompile)
  console.log('No avr-g++ with an Arduino core on this machine: the sketch is neither compiled nor run.');

test.runIf(canCompile)('the sketch compiles, fits an Uno, and says what its sensors feel', () => {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-sketch-hex-'));
  try {
    const hex = join(folder, 'sketch.hex');
    execFileSync(process.execPath, [CHECK, hex]);
    const image = firmwareImage(readFileSync(hex, 'latin1'), '');
    // An Uno with its boot loader.
    expect(image.flashBytes).toBeLessThanOrEqual(32_256);
    const board = emulatedBoard({
      image,
      random: seededRandom(1),
      read: (station) =>
        station === 'box'
          ? { values: { t: 70.12, rh: -1.2 }, faults: {} }
          : { values: { t: 21.5, rh: 51.2 }, faults: {} },
    });
    let sent = board.advance(150);
    board.receive('=200\n');
    sent += board.advance(500);
    const lines = sent
      .split('\n')
      .slice(0, -1)
      .map((line) => {
        const decoded = decodeLine(line);
        if (!decoded.ok) throw new Error(`${line}: ${decoded.detail}`);
        return decoded.line;
      });
    const hellos = lines.filter((line) => line.kind === 'hello');
    expect(hellos.map(({ facts }) => facts['every'])).toEqual(['2000', '200']);
    const readings = lines.filter((line) => line.kind === 'reading');
    expect(readings.map(({ station, seq }) => `${station} ${seq}`)).toEqual([
      'box 0',
      'room 1',
      'box 2',
      'room 3',
    ]);
    // Rounding of a hundredth, and a step of the sensor's own.
    for (const { station, values } of readings) {
      expect(Math.abs((values['t'] as number) - (station === 'box' ? 70.12 : 21.5))).toBeLessThan(0.01);
      expect(Math.abs((values['rh'] as number) - (station === 'box' ? -1.2 : 51.2))).toBeLessThan(0.01);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
});
