/**
 * Building LD1 lines on the host: for simulated boards, tests and tools. Real boards use the C side of this folder.
 * A line that may not be sent is the caller's mistake: a RangeError that says what is wrong.
 */
import { crc16, crcHex } from './crc.ts';
import {
  BOOT_PATTERN,
  FACT_PATTERN,
  FAULTS,
  KEY_PATTERN,
  type LineHello,
  type LineReading,
  MAX_LINE_BYTES,
  NAME_PATTERN,
  UINT32_RANGE,
  VALUE_PATTERN,
} from './line.ts';

const demand = (holds: boolean, sentence: string): void => {
  if (!holds) throw new RangeError(sentence);
};

/** A number as the line carries it: up to `decimals` places (6 at most), no exponent, no needless zeros. */
export function formatValue(value: number, decimals = 6): string {
  const text = value.toFixed(Math.min(6, decimals));
  const trimmed = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  const plain = trimmed === '-0' ? '0' : trimmed;
  demand(VALUE_PATTERN.test(plain), `a value must fit ±9999999.999999, not ${value}`);
  return plain;
}

function close(body: string): string {
  const line = `${body} *${crcHex(crc16(body))}`;
  demand(
    line.length <= MAX_LINE_BYTES,
    `a line may have ${MAX_LINE_BYTES} bytes, this has ${line.length}: ${line}`,
  );
  return line;
}

/** The line of one reading, without its ending. `decimals` applies to every value. */
export function encodeReading(reading: Omit<LineReading, 'kind'>, decimals = 6): string {
  const { station, boot, seq, uptimeMs, values, faults } = reading;
  demand(NAME_PATTERN.test(station), `a station is 1–16 of A–Z a–z 0–9 _ -, not "${station}"`);
  demand(BOOT_PATTERN.test(boot), `a boot id is 4 lower-case hex digits, not "${boot}"`);
  for (const [name, n] of [
    ['seq', seq],
    ['uptime', uptimeMs],
  ] as const)
    demand(Number.isInteger(n) && n >= 0 && n < UINT32_RANGE, `${name} is a uint32, not ${n}`);
  const fields: string[] = [];
  for (const [key, value] of Object.entries(values)) fields.push(`${key}=${formatValue(value, decimals)}`);
  for (const [key, fault] of Object.entries(faults)) {
    demand(FAULTS.includes(fault), `a fault is one of ${FAULTS.join(', ')}, not "${fault}"`);
    demand(!Object.hasOwn(values, key), `key "${key}" has a value and a fault`);
    fields.push(`${key}=!${fault}`);
  }
  demand(fields.length > 0, 'a reading needs at least one key');
  for (const field of fields) {
    const key = field.slice(0, field.indexOf('='));
    demand(KEY_PATTERN.test(key), `a key is a letter and up to 31 letters, digits, _ . -, not "${key}"`);
  }
  return close(`LD1 ${station} ${boot} ${seq} ${uptimeMs} ${fields.join(' ')}`);
}

/** The hello of a board, without its ending. */
export function encodeHello(hello: Omit<LineHello, 'kind'>): string {
  const { board, boot, facts } = hello;
  demand(NAME_PATTERN.test(board), `a board is 1–16 of A–Z a–z 0–9 _ -, not "${board}"`);
  demand(BOOT_PATTERN.test(boot), `a boot id is 4 lower-case hex digits, not "${boot}"`);
  const fields = Object.entries(facts).map(([key, fact]) => {
    demand(KEY_PATTERN.test(key), `a key is a letter and up to 31 letters, digits, _ . -, not "${key}"`);
    demand(FACT_PATTERN.test(fact), `a hello's value is 1–64 visible ASCII characters, not "${fact}"`);
    return `${key}=${fact}`;
  });
  return close(['LD1H', board, boot, ...fields].join(' '));
}
