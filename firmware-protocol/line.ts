/** What an LD1 line can say, as plain values. The page of the format is line-format.md beside this file. */

/** A sensor's own word for a value it could not give. */
export const FAULTS = ['nack', 'crc', 'range', 'stuck'] as const;
export type Fault = (typeof FAULTS)[number];

export interface LineReading {
  readonly kind: 'reading';
  readonly station: string;
  /** 4 lower-case hex digits, new at each reset of the board. */
  readonly boot: string;
  /** uint32; counts all LD1 lines of one board's boot, across its stations. */
  readonly seq: number;
  /** uint32; milliseconds since the board's reset, wraps after 49.7 days. */
  readonly uptimeMs: number;
  readonly values: Readonly<Record<string, number>>;
  readonly faults: Readonly<Record<string, Fault>>;
}

export interface LineHello {
  readonly kind: 'hello';
  readonly board: string;
  readonly boot: string;
  readonly facts: Readonly<Record<string, string>>;
}

/**
 * Why a line was refused. `blank` is an empty line, which is no mistake of anybody's.
 * Every name stands in DEVELOPERS.md with what to do about it.
 */
export const REFUSALS = [
  'blank',
  'too-long',
  'bad-byte',
  'not-a-line',
  'version',
  'no-checksum',
  'crc',
  'malformed',
  'bad-number',
  'bad-value',
  'no-value',
  'duplicate-key',
] as const;
export type RefusalReason = (typeof REFUSALS)[number];

export interface Refusal {
  readonly ok: false;
  readonly reason: RefusalReason;
  /** One sentence for a person: what, and where in the line. */
  readonly detail: string;
}

export type Decoded = { readonly ok: true; readonly line: LineReading | LineHello } | Refusal;

/** Bytes of a line without its ending. */
export const MAX_LINE_BYTES = 120;
export const UINT32_RANGE = 0x1_0000_0000;

export const NAME_PATTERN = /^[A-Za-z0-9_-]{1,16}$/;
export const BOOT_PATTERN = /^[0-9a-f]{4}$/;
/** Keys of readings and of hellos; a hello's may be dotted (`part.rh`), and so may an extra. */
export const KEY_PATTERN = /^[A-Za-z][A-Za-z0-9_.-]{0,31}$/;
export const VALUE_PATTERN = /^-?[0-9]{1,7}(\.[0-9]{1,6})?$/;
/** Value of a hello's key: visible ASCII. */
export const FACT_PATTERN = /^[!-~]{1,64}$/;
