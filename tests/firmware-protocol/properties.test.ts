import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { encodeHello, encodeReading, formatValue } from '../../firmware-protocol/encode.ts';
import { FAULTS, MAX_LINE_BYTES, REFUSALS, VALUE_PATTERN } from '../../firmware-protocol/line.ts';

const name = fc.stringMatching(/^[A-Za-z0-9_-]{1,16}$/);
const boot = fc.stringMatching(/^[0-9a-f]{4}$/);
const uint32 = fc.integer({ min: 0, max: 0xffff_ffff });
const key = fc.oneof(
  fc.constantFrom('t', 'rh', 'm', 'tm', 'ts', 'tb', 'p', 'constructor'),
  fc.stringMatching(/^x_[a-z]{1,6}$/),
);
const value = fc.integer({ min: -9_999_999_999, max: 9_999_999_999 }).map((n) => n / 1000);
const reading = fc
  .record({
    station: name,
    boot,
    seq: uint32,
    uptimeMs: uint32,
    fields: fc.uniqueArray(fc.tuple(key, fc.oneof(value, fc.constantFrom(...FAULTS))), {
      minLength: 1,
      maxLength: 3,
      selector: ([k]) => k,
    }),
  })
  .map(({ fields, ...rest }) => ({
    ...rest,
    values: Object.fromEntries(fields.filter((f): f is [string, number] => typeof f[1] === 'number')),
    faults: Object.fromEntries(
      fields.filter((f): f is [string, (typeof FAULTS)[number]] => typeof f[1] !== 'number'),
    ),
  }));

test('what is encoded is decoded to the same', () => {
  fc.assert(
    fc.property(reading, (r) => {
      expect(decodeLine(encodeReading(r))).toEqual({ ok: true, line: { kind: 'reading', ...r } });
    }),
    { numRuns: 2000 },
  );
});

test('a hello comes back as it was', () => {
  const facts = fc.dictionary(fc.stringMatching(/^[a-z]{1,6}$/), fc.stringMatching(/^[!-~]{1,8}$/), {
    maxKeys: 4,
  });
  fc.assert(
    fc.property(name, boot, facts, (board, id, given) => {
      const decoded = decodeLine(encodeHello({ board, boot: id, facts: given }));
      expect(decoded).toEqual({ ok: true, line: { kind: 'hello', board, boot: id, facts: { ...given } } });
    }),
  );
});

test('a decimal literal and the line agree to the last bit', () => {
  fc.assert(
    fc.property(fc.stringMatching(/^-?[0-9]{1,7}(\.[0-9]{1,6})?$/), (text) => {
      expect(VALUE_PATTERN.test(text)).toBe(true);
      const line = encodeReading({
        station: 's',
        boot: '0000',
        seq: 0,
        uptimeMs: 0,
        values: { t: Number(text) },
        faults: {},
      });
      const decoded = decodeLine(line);
      // Number() is the language's own correctly rounded reading of the same text.
      expect(decoded.ok && decoded.line.kind === 'reading' && decoded.line.values['t']).toBe(
        Number(text) + 0,
      );
      expect(formatValue(Number(text))).toMatch(VALUE_PATTERN);
    }),
  );
});

test('any byte soup is answered by a named refusal and never by an exception', () => {
  const soup = fc.uint8Array({ maxLength: 300 }).map((bytes) => Buffer.from(bytes).toString('latin1'));
  const nearly = fc
    .tuple(fc.constantFrom('LD1 ', 'LD1H ', 'LD2 ', 'LD'), soup)
    .map(([head, tail]) => head + tail);
  fc.assert(
    fc.property(fc.oneof(soup, nearly), (text) => {
      const decoded = decodeLine(text);
      expect(decoded.ok || REFUSALS.includes(decoded.reason)).toBe(true);
    }),
    { numRuns: 5000 },
  );
});

test("lines with one or two bytes changed are refused, but for the checksum's own one in 65,536", () => {
  // Fixed seed: two changed bytes far apart are damage that a 16-bit checksum misses once in 65,536.
  const edits = fc.array(fc.tuple(fc.nat({ max: MAX_LINE_BYTES }), fc.integer({ min: 0x20, max: 0x7e })), {
    minLength: 1,
    maxLength: 2,
  });
  let accepted = 0;
  let tried = 0;
  fc.assert(
    fc.property(reading, edits, (r, changes) => {
      const line = encodeReading(r);
      const bytes = [...line];
      for (const [at, code] of changes) bytes[at % line.length] = String.fromCharCode(code);
      const damaged = bytes.join('');
      if (damaged === line) return;
      tried++;
      if (decodeLine(damaged).ok) accepted++;
    }),
    { numRuns: 20_000, seed: 20261125 },
  );
  expect(tried).toBeGreaterThan(15_000);
  expect(accepted).toBeLessThanOrEqual(2);
});
