import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseUtc, utcText } from '../server/utc.ts';

// Truth: the language's own Date (ECMA-262, 21.4), which this arithmetic must not depend on.
test('every millisecond of the years 0000 to 9999 is written as ECMAScript writes it, and read back', () => {
  fc.assert(
    fc.property(fc.integer({ min: -62_167_219_200_000, max: 253_402_300_799_999 }), (ms) => {
      expect(utcText(ms)).toBe(new Date(ms).toISOString());
      expect(parseUtc(utcText(ms))).toBe(ms);
    }),
    { numRuns: 3000 },
  );
});

test('ends of February, of years and of centuries', () => {
  for (const text of [
    '1970-01-01T00:00:00.000Z',
    '2000-02-29T23:59:59.999Z',
    '1900-03-01T00:00:00.000Z',
    '2026-12-31T23:59:59.999Z',
    '0000-02-29T12:00:00.000Z',
  ]) {
    expect(parseUtc(text)).toBe(Date.parse(text));
    expect(utcText(Date.parse(text))).toBe(text);
  }
});

test('any other form of a time, and any day that does not exist, is refused', () => {
  for (const text of [
    '',
    '2026-08-22',
    '2026-08-22T12:04:05Z',
    '2026-08-22T12:04:05.6Z',
    '2026-08-22T12:04:05.678+00:00',
    '2026-08-22 12:04:05.678Z',
    '2026-08-22t12:04:05.678z',
    '2026-02-30T12:04:05.678Z',
    '2100-02-29T12:04:05.678Z',
    '2026-13-01T12:04:05.678Z',
    '2026-00-01T12:04:05.678Z',
    '2026-08-22T24:00:00.000Z',
    '2026-08-22T12:60:05.678Z',
    '2026-08-22T12:04:60.000Z',
    ' 2026-08-22T12:04:05.678Z',
    '2026-08-22T12:04:05.678Z ',
  ])
    expect(parseUtc(text), text).toBeNull();
});
