/** What the firmware makes of the sensors' words, against values that the makers publish. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { crc8 } from '../../simulators/avr/air-sensor.ts';
import { crc8OneWire } from '../../simulators/avr/temperature-probe.ts';
import { type BoardC, buildBoardC, hasCompiler } from './board-c.ts';

const [NACK, CRC, RANGE, , GOOD] = [0, 1, 2, 3, 4];
const SHT3X = 1;
const SHT4X = 2;

let board: BoardC;
beforeAll(() => {
  if (hasCompiler) board = buildBoardC();
});
afterAll(() => board?.remove());

const one = (row: string): string => (board.call([row])[0] as string).trim();
/** Poly 0x31 by long division, unlike the firmware's byte-wise loop: bits as a big number. */
function crcByDivision(bytes: readonly number[]): number {
  let message = bytes.reduce((all, byte, i) => (all << 8n) | BigInt(i === 0 ? byte ^ 0xff : byte), 0n) << 8n;
  for (let bit = bytes.length * 8 + 7; bit >= 8; bit--)
    if ((message >> BigInt(bit)) & 1n) message ^= 0x131n << BigInt(bit - 8);
  return Number(message);
}
const word = (raw: number, damage = 0): string => {
  const bytes = [raw >> 8, raw & 0xff];
  return Buffer.from([...bytes, crcByDivision(bytes) ^ damage]).toString('hex');
};

describe.runIf(hasCompiler)('checksums', () => {
  // SHT3x and SHT4x data sheets: CRC (0xBEEF) = 0x92; catalogue of CRC algorithms, CRC-8/NRSC-5: "123456789" gives F7.
  test('of the SHT families', () => {
    expect(one('eight beef').split(' ')[0]).toBe('92');
    expect(one(`eight ${Buffer.from('123456789').toString('hex')}`).split(' ')[0]).toBe('F7');
    expect(crcByDivision([0xbe, 0xef])).toBe(0x92);
  });
  // Application note 27 of the 1-Wire maker: ROM 02 1C B8 01 00 00 00 has A2; catalogue, CRC-8/MAXIM-DOW: A1.
  test('of 1-Wire devices', () => {
    expect(one('eight 021cb801000000').split(' ')[1]).toBe('A2');
    expect(one(`eight ${Buffer.from('123456789').toString('hex')}`).split(' ')[1]).toBe('A1');
  });
});

test('the emulated sensors have the published checksums too', () => {
  expect(crc8([0xbe, 0xef])).toBe(0x92);
  expect(crc8OneWire([0x02, 0x1c, 0xb8, 0x01, 0, 0, 0])).toBe(0xa2);
});

describe.runIf(hasCompiler)('temperature and humidity', () => {
  // t = −45 + 175·S/65535 for both; rh = −6 + 125·S/65535 (SHT4x data sheet) and 100·S/65535 (SHT3x data sheet).
  const random = Array.from({ length: 400 }, (_, i) => (i * 40_503 + 77) % 65_535);
  test.each([
    [SHT4X, (raw: number) => -6 + (125 * raw) / 65_535],
    [SHT3X, (raw: number) => (100 * raw) / 65_535],
  ])('family %i to half of the last digit sent', (family, humidity) => {
    const raws = random.map((raw) => [(raw * 7) % 65_535, raw] as const);
    const rows = board.call(raws.map(([t, rh]) => `air ${family} ${word(t)}${word(rh)}`));
    for (const [i, [rawT, rawRh]] of raws.entries()) {
      const [tOutcome, t, rhOutcome, rh] = (rows[i] as string).trim().split(' ').map(Number) as number[];
      const celsius = -45 + (175 * rawT) / 65_535;
      expect(Math.abs((t as number) / 100 - celsius)).toBeLessThanOrEqual(0.005 + 1e-9);
      expect(Math.abs((rh as number) / 100 - humidity(rawRh))).toBeLessThanOrEqual(0.005 + 1e-9);
      // Outside −40…125 °C, where the makers' sheets say that neither works.
      const isNear = Math.abs(celsius + 40) < 0.01 || Math.abs(celsius - 125) < 0.01;
      if (!isNear) expect(tOutcome).toBe(celsius < -40 || celsius > 125 ? RANGE : GOOD);
      expect(rhOutcome).toBe(GOOD);
    }
  });

  test('a humidity below nought is said, not clipped', () => {
    expect(one(`air ${SHT4X} ${word(0x6666)}${word(0)}`)).toBe(`${GOOD} 2500 ${GOOD} -600`);
  });

  test('each word’s fault is its own', () => {
    expect(one(`air ${SHT4X} ${word(0x6666, 1)}${word(0x8000)}`)).toMatch(new RegExp(`^${CRC} .* ${GOOD} `));
    expect(one(`air ${SHT4X} ${word(0x6666)}${word(0x8000, 0x80)}`)).toMatch(
      new RegExp(`^${GOOD} .* ${CRC} `),
    );
    expect(one(`air ${SHT4X} ffff${'ac'}ffff${'ac'}`)).toMatch(new RegExp(`^${RANGE} .* ${RANGE} `));
  });
});

describe.runIf(hasCompiler)('probes', () => {
  /** Reflected division by x^8 + x^5 + x^4 + 1, bit by bit from the first bit on the wire. */
  const scratchpad = (low: number, high: number, marks = [0x4c, 0x44, 0x7f]): string => {
    const bytes = [low, high, ...marks, 0xff, 0x0c, 0x10];
    let crc = 0;
    for (const byte of bytes)
      for (let bit = 0; bit < 8; bit++) {
        const differs = ((byte >> bit) ^ crc) & 1;
        crc = (crc >> 1) ^ (differs ? 0x8c : 0);
      }
    return Buffer.from([...bytes, crc]).toString('hex');
  };
  // "Temperature/data relationship", table 1 of the DS18B20 data sheet.
  test.each([
    [0x07d0, 125],
    [0x0550, 85],
    [0x0191, 25.0625],
    [0x00a2, 10.125],
    [0x0008, 0.5],
    [0x0000, 0],
    [0xfff8, -0.5],
    [0xff5e, -10.125],
    [0xfe6f, -25.0625],
    [0xfc90, -55],
  ])('word %i is %f °C', (raw, celsius) => {
    expect(one(`probe ${scratchpad(raw & 0xff, raw >> 8)}`)).toBe(`${GOOD} ${celsius * 10_000}`);
  });

  test('85 °C with a power-on’s own settings is no reading', () => {
    expect(one(`probe ${scratchpad(0x50, 0x05, [0x4b, 0x46, 0x7f])}`)).toMatch(new RegExp(`^${RANGE} `));
  });

  test('an open line, a shorted line, a damaged byte and nonsense are told apart', () => {
    expect(one(`probe ${'ff'.repeat(9)}`)).toBe(`${NACK} 0`);
    expect(one(`probe ${'00'.repeat(9)}`)).toBe(`${NACK} 0`);
    expect(one(`probe ${scratchpad(0x91, 0x01).replace('91', '90')}`)).toMatch(new RegExp(`^${CRC} `));
    expect(one(`probe ${scratchpad(0xf0, 0x0f)}`)).toMatch(new RegExp(`^${RANGE} `));
  });
});

test.runIf(hasCompiler)(
  'a 5 kg cell of 1 mV/V at its full load is 5 kg, either way, over any number of conversions',
  () => {
    // Full scale of the converter is half the supply over the gain of 128, ±2^23 counts; the cell gives 1 mV/V.
    const fullLoad = (0.001 / (0.5 / 128)) * 2 ** 23;
    for (const [share, count] of [
      [1, 1],
      [-1, 1],
      [0.2, 20],
      [0.00001, 255],
      [-0.3, 255],
    ] as const) {
      const grams = Number(one(`grams ${Math.round(fullLoad * share * count)} ${count}`)) / 100;
      expect(Math.abs(grams - 5000 * share)).toBeLessThan(0.011);
    }
  },
);
