/**
 * Reading LD1 lines on the host: a line in, a reading, a hello or a named refusal out. Never throws, never clamps.
 * The checksum is judged before anything is believed; what passes it is still held to the grammar.
 */
import { CRC_START, crcStep } from './crc.ts';
import { KEYS } from './keys.ts';
import {
  BOOT_PATTERN,
  type Decoded,
  FAULTS,
  type Fault,
  KEY_PATTERN,
  MAX_LINE_BYTES,
  NAME_PATTERN,
  type Refusal,
  type RefusalReason,
  UINT32_RANGE,
} from './line.ts';

/** Classes of characters, a bit each: what a name, a boot id, a key may hold. */
const NAME = 1;
const BOOT = 2;
const KEY = 4;
const LETTER = 8;
const CLASS = new Uint8Array(128);
for (let code = 0; code < 128; code++) {
  const char = String.fromCharCode(code);
  CLASS[code] =
    (/[A-Za-z0-9_-]/.test(char) ? NAME : 0) |
    (/[0-9a-f]/.test(char) ? BOOT : 0) |
    (/[A-Za-z0-9_.-]/.test(char) ? KEY : 0) |
    (/[A-Za-z]/.test(char) ? LETTER : 0);
}

/** Every character between `start` and `end` is of the class, and there are 1 to `most` of them. */
function isAll(text: string, start: number, end: number, of: number, most: number): boolean {
  if (end - start < 1 || end - start > most) return false;
  for (let i = start; i < end; i++) if (((CLASS[text.charCodeAt(i)] as number) & of) === 0) return false;
  return true;
}
/**
 * The registry's keys by their one or two characters, each with a bit of its own. Cutting a key out of the line makes
 * a new string that must be looked up by its content at every use; taking it from here halves the cost of a line.
 */
const KNOWN: ({ readonly key: string; readonly bit: number } | undefined)[] = new Array(128 * 128).fill(
  undefined,
);
const packed = (text: string, start: number, end: number): number =>
  end - start === 1
    ? text.charCodeAt(start)
    : end - start === 2
      ? text.charCodeAt(start) * 128 + text.charCodeAt(start + 1)
      : 0;
for (const [i, { key }] of KEYS.entries()) KNOWN[packed(key, 0, key.length)] = { key, bit: 1 << i };

const isKey = (text: string, start: number, end: number): boolean =>
  isAll(text, start, end, KEY, 32) && ((CLASS[text.charCodeAt(start)] as number) & LETTER) !== 0;

const SPACE = 0x20;
const DOT = 0x2e;
const MINUS = 0x2d;
const ZERO = 0x30;
const NINE = 0x39;

const refuse = (reason: RefusalReason, detail: string): Refusal => ({ ok: false, reason, detail });

/** Where the spaces of the line in hand are, so that no field is looked for twice. */
const SPACES = new Int32Array(MAX_LINE_BYTES + 1);

/** Exactly ` *` and 4 upper-case hex digits. */
const CHECKSUM_BYTES = 6;

/** The value of 4 upper-case hexadecimal digits at `at`, or −1. */
function hex4(text: string, at: number): number {
  let value = 0;
  for (let i = at; i < at + 4; i++) {
    const code = text.charCodeAt(i);
    const digit =
      code >= ZERO && code <= NINE ? code - ZERO : code >= 0x41 && code <= 0x46 ? code - 0x37 : -1;
    if (digit < 0) return -1;
    value = value * 16 + digit;
  }
  return value;
}

/** A uint32 in decimal without leading zeros between `start` and `end`, or −1. */
function uint32(text: string, start: number, end: number): number {
  const length = end - start;
  if (length < 1 || length > 10 || (length > 1 && text.charCodeAt(start) === ZERO)) return -1;
  let value = 0;
  for (let i = start; i < end; i++) {
    const digit = text.charCodeAt(i) - ZERO;
    if (digit < 0 || digit > 9) return -1;
    value = value * 10 + digit;
  }
  return value < UINT32_RANGE ? value : -1;
}

/** 10^k for the fraction's digits: 13 digits over 10^6 divide exactly rounded, as a decimal literal would. */
const POWERS = [1, 10, 100, 1e3, 1e4, 1e5, 1e6];

/** `-?[0-9]{1,7}(\.[0-9]{1,6})?` between `start` and `end`, or NaN. */
function decimal(text: string, start: number, end: number): number {
  const negative = text.charCodeAt(start) === MINUS;
  let i = negative ? start + 1 : start;
  const whole = i;
  let digits = 0;
  for (; i < end; i++) {
    const digit = text.charCodeAt(i) - ZERO;
    if (digit < 0 || digit > 9) break;
    digits = digits * 10 + digit;
  }
  const wholeLength = i - whole;
  if (wholeLength < 1 || wholeLength > 7) return Number.NaN;
  let fractionLength = 0;
  if (i < end) {
    if (text.charCodeAt(i) !== DOT) return Number.NaN;
    for (i++; i < end; i++, fractionLength++) {
      const digit = text.charCodeAt(i) - ZERO;
      if (digit < 0 || digit > 9) return Number.NaN;
      digits = digits * 10 + digit;
    }
    if (fractionLength < 1 || fractionLength > 6) return Number.NaN;
  }
  const value = digits / (POWERS[fractionLength] as number);
  return negative ? -value : value;
}

/** Decodes one line without its ending; `text` holds one byte a character (latin1). */
export function decodeLine(text: string): Decoded {
  const length = text.length;
  if (length === 0) return refuse('blank', 'The line is empty.');
  if (length > MAX_LINE_BYTES)
    return refuse('too-long', `A line may have ${MAX_LINE_BYTES} bytes, this has ${length}.`);
  const end = length - CHECKSUM_BYTES;
  let crc = CRC_START;
  let spaces = 0;
  for (let i = 0; i < length; i++) {
    const code = text.charCodeAt(i);
    if (code < SPACE || code > 0x7e) {
      const hex = code.toString(16).padStart(2, '0');
      return refuse('bad-byte', `Byte ${i + 1} is 0x${hex}, not visible ASCII.`);
    }
    if (i < end) {
      crc = crcStep(crc, code);
      if (code === SPACE) SPACES[spaces++] = i;
    }
  }
  SPACES[spaces] = end;
  if (text.charCodeAt(0) !== 0x4c || text.charCodeAt(1) !== 0x44)
    return refuse('not-a-line', 'The line does not begin with LD1.');
  const head = text.startsWith('LD1 ') ? 4 : text.startsWith('LD1H ') ? 5 : 0;
  if (head === 0) {
    if (/^LD[0-9]+H? /.test(text))
      return refuse('version', `This program reads LD1, not ${text.split(' ', 1)[0]}.`);
    return refuse('not-a-line', 'The line does not begin with LD1.');
  }
  if (end <= head || text.charCodeAt(end) !== SPACE || text.charCodeAt(end + 1) !== 0x2a)
    return refuse('no-checksum', 'The line does not end in " *" and a checksum.');
  const stated = hex4(text, end + 2);
  if (stated < 0) return refuse('no-checksum', 'The checksum is not 4 upper-case hexadecimal digits.');
  if (stated !== crc) return refuse('crc', 'The checksum does not match: the line was damaged on its way.');
  return head === 4 ? decodeReading(text, spaces) : decodeHello(text, end);
}

/** `spaces`: how many of SPACES are this line's; the end of its body stands behind them. */
function decodeReading(text: string, spaces: number): Decoded {
  // Four fields after "LD1 ", then keys; single spaces, so an empty field is a malformed line.
  if (spaces < 4) return refuse('malformed', 'A reading needs station, boot, seq and uptime.');
  const a = SPACES[1] as number;
  const b = SPACES[2] as number;
  const c = SPACES[3] as number;
  const uptimeEnd = SPACES[4] as number;
  const station = text.slice(4, a);
  if (!isAll(text, 4, a, NAME, 16)) return refuse('malformed', `"${station}" is not a station name.`);
  const boot = text.slice(a + 1, b);
  if (boot.length !== 4 || !isAll(text, a + 1, b, BOOT, 4))
    return refuse('malformed', `"${boot}" is not a boot id (4 lower-case hex digits).`);
  const seq = uint32(text, b + 1, c);
  if (seq < 0) return refuse('bad-number', `"${text.slice(b + 1, c)}" is not a sequence number (uint32).`);
  const uptimeMs = uint32(text, c + 1, uptimeEnd);
  if (uptimeMs < 0)
    return refuse('bad-number', `"${text.slice(c + 1, uptimeEnd)}" is not an uptime in ms (uint32).`);
  const values: Record<string, number> = {};
  const faults: Record<string, Fault> = {};
  let seen = 0;
  if (spaces === 4) return refuse('no-value', 'A reading needs at least one key=value.');
  for (let field = 4; field < spaces; field++) {
    const at = SPACES[field] as number;
    const stop = SPACES[field + 1] as number;
    const equals = text.indexOf('=', at + 1);
    if (equals < 0 || equals >= stop)
      return refuse('malformed', `"${text.slice(at + 1, stop)}" is not key=value.`);
    const known = KNOWN[packed(text, at + 1, equals)];
    const key = known?.key ?? text.slice(at + 1, equals);
    if (known === undefined && !isKey(text, at + 1, equals))
      return refuse('malformed', `"${key}" is not a key.`);
    const stoodBefore =
      known === undefined
        ? Object.hasOwn(values, key) || Object.hasOwn(faults, key)
        : (seen & known.bit) !== 0;
    if (stoodBefore) return refuse('duplicate-key', `Key "${key}" stands twice.`);
    if (known !== undefined) seen |= known.bit;
    if (text.charCodeAt(equals + 1) === 0x21) {
      const fault = text.slice(equals + 2, stop);
      if (!(FAULTS as readonly string[]).includes(fault))
        return refuse('bad-value', `"!${fault}" is none of the faults ${FAULTS.join(', ')}.`);
      faults[key] = fault as Fault;
    } else {
      const value = decimal(text, equals + 1, stop);
      if (Number.isNaN(value))
        return refuse('bad-value', `"${text.slice(at + 1, stop)}" has no plain decimal value.`);
      values[key] = value;
    }
  }
  return { ok: true, line: { kind: 'reading', station, boot, seq, uptimeMs, values, faults } };
}

function decodeHello(text: string, end: number): Decoded {
  const fields = text.slice(5, end).split(' ');
  const [board, boot] = fields;
  if (board === undefined || !NAME_PATTERN.test(board))
    return refuse('malformed', `"${board}" is not a board name.`);
  if (boot === undefined || !BOOT_PATTERN.test(boot))
    return refuse('malformed', `"${boot ?? ''}" is not a boot id (4 lower-case hex digits).`);
  const facts: Record<string, string> = {};
  for (const field of fields.slice(2)) {
    const equals = field.indexOf('=');
    const key = field.slice(0, Math.max(0, equals));
    if (!KEY_PATTERN.test(key) || equals + 1 >= field.length)
      return refuse('malformed', `"${field}" is not key=value.`);
    if (Object.hasOwn(facts, key)) return refuse('duplicate-key', `Key "${key}" stands twice.`);
    facts[key] = field.slice(equals + 1);
  }
  return { ok: true, line: { kind: 'hello', board, boot, facts } };
}
