/**
 * Ground: epoch milliseconds to RFC 3339 text and back.
 *
 * The one form written and read is `2026-08-22T12:04:05.678Z`: UTC, upper-case T and Z, three decimals. RFC 3339 leaves
 * more forms open; one form only means that equal times are equal texts. Leap seconds (:60) are refused, since epoch
 * milliseconds have no room for them.
 */
const UTC_PATTERN = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/;
/** 0000-01-01T00:00:00.000Z and 9999-12-31T23:59:59.999Z: what four digits of a year can say. */
const FIRST_MS = -62_167_219_200_000;
const LAST_MS = 253_402_300_799_999;

/** RFC 3339 UTC with milliseconds. Fractions of a millisecond are cut; times outside the years 0000–9999 are clamped. */
export function utcText(epochMs: number): string {
  return new Date(Math.floor(Math.min(LAST_MS, Math.max(FIRST_MS, epochMs)))).toISOString();
}

/** Epoch milliseconds of the one form above; null for anything else, 30 February included. */
export function parseUtc(text: string): number | null {
  if (!UTC_PATTERN.test(text)) return null;
  const ms = Date.parse(text);
  // Written back, a date that does not exist (or hour 24) comes out as another text.
  return !Number.isNaN(ms) && utcText(ms) === text ? ms : null;
}
