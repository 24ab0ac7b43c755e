/**
 * A temperature and humidity sensor of the SHT3x or the SHT4x family on the I2C bus: commands, timing, words and
 * checksums as the makers' data sheets have them (from memory; the checksum's check value is in the tests).
 */
import type { Random } from '../random.ts';
import { faultOf, isAbsent, type Sense } from './device.ts';
import type { I2cSlave } from './i2c-bus.ts';

export type AirFamily = 'sht3x' | 'sht4x';

/** Longest measurement at high repeatability. */
const MEASURE_S = { sht3x: 0.0155, sht4x: 0.0083 } as const;
const SOON_S = 0.0005;
/** Nothing has all ones for a temperature (130 °C) or a humidity (119 % or 100 %): a broken sensor has. */
const NONSENSE = 0xffff;

export function crc8(bytes: readonly number[]): number {
  let crc = 0xff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 0x80 ? ((crc << 1) ^ 0x31) & 0xff : (crc << 1) & 0xff;
  }
  return crc;
}

const withCrc = (word: number, damage = 0): number[] => {
  const bytes = [word >> 8, word & 0xff];
  return [...bytes, crc8(bytes) ^ damage];
};

const toWord = (share: number): number => Math.min(65_535, Math.max(0, Math.round(share * 65_535)));

export interface AirSensorOptions {
  readonly address: number;
  readonly family: AirFamily;
  readonly sense: Sense;
  readonly nowS: () => number;
  readonly random: Random;
}

export function airSensorSlave(options: AirSensorOptions): I2cSlave {
  const { address, family, sense, nowS, random } = options;
  let command: number[] = [];
  let answer: number[] = [];
  let readyS = Number.POSITIVE_INFINITY;
  let words: readonly number[] = [0x6666, 0x8000];

  const prepare = (bytes: number[], inS: number): void => {
    answer = bytes;
    readyS = nowS() + inS;
  };

  function measure(): void {
    const reading = sense();
    const faults = [faultOf(reading, 't'), faultOf(reading, 'rh')] as const;
    const { t, rh } = reading.values;
    const shares = [
      t === undefined ? undefined : (t + 45) / 175,
      rh === undefined ? undefined : family === 'sht4x' ? (rh + 6) / 125 : rh / 100,
    ];
    // A value that a fault stands for keeps its last word; the last bit of the others is noise, as in any sensor.
    if (!faults.includes('stuck'))
      words = words.map((word, i) => {
        const share = shares[i];
        return share === undefined ? word : toWord(share + random.below(2) / 65_535);
      });
    const bytes = words.flatMap((word, i) =>
      withCrc(faults[i] === 'range' ? NONSENSE : word, faults[i] === 'crc' ? 0x10 : 0),
    );
    prepare(bytes, MEASURE_S[family]);
  }

  function obey(): void {
    const [first = 0, second = 0] = command;
    const word = (first << 8) | second;
    const serial = (): number[] => [...withCrc(0x0a3c), ...withCrc(0x51e7)];
    if (family === 'sht4x' && command.length === 1) {
      if (first === 0xfd) measure();
      else if (first === 0x89) prepare(serial(), SOON_S);
    } else if (family === 'sht3x' && command.length === 2) {
      if (word === 0x2400) measure();
      else if (word === 0xf32d) prepare(withCrc(0x8010), 0);
    }
  }

  return {
    address,
    connect(toWrite) {
      if (isAbsent(sense(), ['t', 'rh'])) return false;
      if (toWrite) {
        command = [];
        return true;
      }
      // Without a finished measurement the read header is not acknowledged.
      return answer.length > 0 && nowS() >= readyS;
    },
    write(byte) {
      command.push(byte);
      return true;
    },
    read: () => answer.shift() ?? 0xff,
    stop() {
      if (command.length > 0) {
        answer = [];
        obey();
      } else answer = [];
      command = [];
    },
    power() {
      command = [];
      answer = [];
    },
  };
}
