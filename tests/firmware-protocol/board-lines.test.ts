/** The board's C side against the golden lines, and against the host's own reading of whatever it builds. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import {
  FACT_PATTERN,
  FAULTS,
  type Fault,
  KEY_PATTERN,
  MAX_LINE_BYTES,
  NAME_PATTERN,
  VALUE_PATTERN,
} from '../../firmware-protocol/line.ts';
import vectors from '../../firmware-protocol/vectors.json' with { type: 'json' };
import { type Random, seededRandom } from '../../simulators/random.ts';
import { type BoardC, buildBoardC, hasCompiler, hexOf } from './board-c.ts';

const BUFFER_BYTES = MAX_LINE_BYTES + 1;
const CHECKSUM_BYTES = ' *0000'.length;
const INT32 = 0x8000_0000;
const ROUNDS = 6000;

let board: BoardC;
beforeAll(() => {
  if (hasCompiler) board = buildBoardC();
});
afterAll(() => board?.remove());

/** The calls that build a golden line, from its text: value by value with the decimals that it shows. */
function callsFor(line: string): string[] {
  const fields = line.slice(0, line.lastIndexOf(' *')).split(' ');
  const isReading = fields[0] === 'LD1';
  const boot = Number.parseInt(fields[2] as string, 16);
  const name = hexOf(fields[1] as string);
  const head = isReading
    ? `reading ${BUFFER_BYTES} ${name} ${boot} ${fields[3]} ${fields[4]}`
    : `hello ${BUFFER_BYTES} ${name} ${boot}`;
  const rest = fields.slice(isReading ? 5 : 3).map((field) => {
    const [key, value] = field.split('=') as [string, string];
    if (!isReading) return `fact ${hexOf(key)} ${hexOf(value)}`;
    if (value.startsWith('!')) return `fault ${hexOf(key)} ${FAULTS.indexOf(value.slice(1) as Fault)}`;
    return `value ${hexOf(key)} ${value.replace('.', '')} ${value.split('.')[1]?.length ?? 0}`;
  });
  return [head, ...rest, 'end'];
}

/** A scaled value is an int32: 13 digits are the host's to read and no board's to send. */
const BEYOND_INT32 = 'longest value';

describe.runIf(hasCompiler)('golden lines, built in C', () => {
  const good = vectors.lines.filter((vector) => 'want' in vector && vector.name !== BEYOND_INT32);
  let built: string[] = [];
  beforeAll(() => {
    built = board.call(good.flatMap(({ line }) => callsFor(line)));
  });
  test.each(good.map(({ name, line }, i) => [name, line, i] as const))('%s', (_name, line, i) => {
    expect(built[i]).toBe(line);
  });

  test('one line only is beyond a board, and it is refused, not bent', () => {
    const { line } = vectors.lines.find((vector) => vector.name === BEYOND_INT32) as { line: string };
    expect(Math.abs(Number(line.match(/m=(\S+)/)?.[1]?.replace('.', '')))).toBeGreaterThan(INT32);
    // The nearest a board has: its largest number, which has too many digits before the point at 2 decimals.
    expect(
      board.call([`reading ${BUFFER_BYTES} ${hexOf('box')} 1 1 1`, `value 6d ${INT32 - 1} 2`, 'end']),
    ).toEqual(['refused 4']);
  });

  test('the checksum gives the check value of the published catalogue', () => {
    expect(board.call([`crc ${hexOf(vectors.crc.of)}`])).toEqual([vectors.crc.is]);
  });
});

/** Strings as a careless sketch might hand them over: mostly right, sometimes anything. */
function anyText(random: Random, good: string, most: number): string {
  const length = random.chance(0.2) ? random.below(most + 8) : 1 + random.below(Math.min(6, most));
  let text = '';
  for (let i = 0; i < length; i++)
    text += random.chance(0.997)
      ? good.charAt(random.below(good.length))
      : String.fromCharCode(1 + random.below(255));
  return text;
}

const LETTERS = 'ABCXYZabcxyz';
const KEY_CHARS = `${LETTERS}059_.-`;
const VISIBLE = Array.from({ length: 94 }, (_, i) => String.fromCharCode(0x21 + i)).join('');

interface Wanted {
  readonly calls: string[];
  /** The line without its checksum, if it may be sent; by the host's patterns, not by the board's rules. */
  readonly body: string | null;
}

function draw(random: Random): Wanted {
  const size = random.chance(0.2) ? random.below(140) + 1 : BUFFER_BYTES;
  const isReading = random.chance(0.7);
  const name = anyText(random, `${LETTERS}09_-`, 16);
  const boot = random.below(0x1_0000);
  const numbers = [random, random].map((one) => Math.floor(one.next() * 2 ** (1 + one.below(32))));
  const calls = [
    isReading
      ? `reading ${size} ${hexOf(name)} ${boot} ${numbers.join(' ')}`
      : `hello ${size} ${hexOf(name)} ${boot}`,
  ];
  const id = boot.toString(16).padStart(4, '0');
  let body = isReading ? `LD1 ${name} ${id} ${numbers.join(' ')}` : `LD1H ${name} ${id}`;
  let isGood = NAME_PATTERN.test(name);
  const keys = new Set<string>();
  for (let left = random.below(7); left > 0; left--) {
    const key = random.chance(0.9) ? anyText(random, LETTERS, 1) + anyText(random, KEY_CHARS, 31) : '';
    isGood &&= KEY_PATTERN.test(key) && !keys.has(key);
    keys.add(key);
    let value: string;
    if (!isReading && random.chance(0.8)) {
      value = anyText(random, VISIBLE, 64);
      calls.push(`fact ${hexOf(key)} ${hexOf(value)}`);
      isGood &&= FACT_PATTERN.test(value);
    } else if (!isReading) {
      value = String(Math.floor(random.next() * 2 ** 32));
      calls.push(`number ${hexOf(key)} ${value}`);
    } else if (random.chance(0.2)) {
      const fault = random.chance(0.98) ? random.below(4) : 4 + random.below(200);
      value = `!${FAULTS[fault] ?? ''}`;
      calls.push(`fault ${hexOf(key)} ${fault}`);
      isGood &&= fault < FAULTS.length;
    } else {
      const magnitude = random.chance(0.01) ? INT32 : Math.floor(random.next() * 2 ** random.below(32));
      const scaled = magnitude === INT32 || random.chance(0.4) ? -magnitude : magnitude;
      const decimals = random.chance(0.98) ? random.below(7) : random.below(256);
      const digits = String(Math.abs(scaled)).padStart(decimals + 1, '0');
      const point = digits.length - decimals;
      value = `${scaled < 0 ? '-' : ''}${digits.slice(0, point)}${decimals > 0 ? `.${digits.slice(point)}` : ''}`;
      calls.push(`value ${hexOf(key)} ${scaled} ${decimals}`);
      isGood &&= VALUE_PATTERN.test(value);
    }
    body += ` ${key}=${value}`;
  }
  calls.push('end');
  if (isReading && keys.size === 0) isGood = false;
  const bytes = body.length + CHECKSUM_BYTES + 1;
  return { calls, body: isGood && bytes <= Math.min(size, BUFFER_BYTES) ? body : null };
}

test.runIf(hasCompiler)(
  `${ROUNDS} careless sketches: what may be sent is sent, and the host takes all of it`,
  () => {
    const random = seededRandom(8);
    const wanted = Array.from({ length: ROUNDS }, () => draw(random));
    const answers = board.call(wanted.flatMap(({ calls }) => calls));
    expect(answers).toHaveLength(ROUNDS);
    let sent = 0;
    const wrong: string[] = [];
    for (const [i, { calls, body }] of wanted.entries()) {
      const answer = answers[i] as string;
      const isRight =
        body === null
          ? /^refused [1-6]$/.test(answer)
          : answer.slice(0, -CHECKSUM_BYTES) === body && decodeLine(answer).ok;
      if (!isRight) wrong.push(`${calls.join('; ')} gave ${answer}`);
      if (body !== null) sent += 1;
    }
    expect(wrong).toEqual([]);
    // Both kinds in numbers that mean something.
    expect(sent).toBeGreaterThan(ROUNDS / 5);
    expect(ROUNDS - sent).toBeGreaterThan(ROUNDS / 5);
  },
);

/** What the host says, and what a board makes of it, one after the other to the same ear. */
const COMMANDS = [
  ['?\n', 'hello'],
  ['?\r\n', 'hello'],
  ['\n', 'hello'],
  ['=100\n', '100'],
  ['=60000\r\n', '60000'],
  ['=000500\n', '500'],
  ['=99\n', 'hello'],
  ['=60001\n', 'hello'],
  ['=\n', 'hello'],
  ['=-500\n', 'hello'],
  ['=5 00\n', 'hello'],
  ['=0000500\n', 'hello'],
  ['=99999999999999999999999999\n=250\n', 'hello 250'],
  ['a long speech without an end', ''],
  ['\n?\n=2000\n', 'hello hello 2000'],
] as const;

test.runIf(hasCompiler)('host commands are understood, and anything else is answered by a hello', () => {
  const answers = board.call(COMMANDS.map(([bytes]) => `hear ${hexOf(bytes)}`));
  expect(COMMANDS.map(([bytes], i) => [bytes, answers[i]?.trim()])).toEqual(COMMANDS);
});

test.runIf(hasCompiler)('a boot id is never the one before, whatever the noise', () => {
  const random = seededRandom(4);
  const pairs = Array.from({ length: 5000 }, () => [random.below(65_536), random.below(65_536)] as const);
  pairs.push([0, 65_535], [65_535, 0], [65_535, 65_535], [7, 65_534]);
  const ids = board.call(pairs.map(([last, noise]) => `boot ${last} ${noise}`)).map(Number);
  expect(ids.filter((id, i) => id === pairs[i]?.[0] || !(id >= 0 && id < 65_536))).toEqual([]);
  expect(new Set(ids).size).toBeGreaterThan(4700);
});
