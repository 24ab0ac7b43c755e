/**
 * Ground: epoch milliseconds to RFC 3339 text and back, by arithmetic alone, so that pure rooms may use it.
 *
 * The one form written and read is `2026-08-22T12:04:05.678Z`: UTC, upper-case T and Z, three decimals. RFC 3339 leaves
 * more forms open; one form only means that equal times are equal texts. Leap seconds (:60) are refused, since epoch
 * milliseconds have no room for them.
 */
const DAY_MS = 86_400_000;
const UTC_PATTERN = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2}):(\d{2})\.(\d{3})Z$/;
/** 0000-01-01T00:00:00.000Z and 9999-12-31T23:59:59.999Z: what four digits of a year can say. */
const FIRST_MS = -62_167_219_200_000;
const LAST_MS = 253_402_300_799_999;

const pad = (value: number, digits: number): string => String(value).padStart(digits, '0');

/** RFC 3339 UTC with milliseconds. Fractions of a millisecond are cut; times outside the years 0000–9999 are clamped. */
export function utcText(epochMs: number): string {
  const ms = Math.floor(Math.min(LAST_MS, Math.max(FIRST_MS, epochMs)));
  const days = Math.floor(ms / DAY_MS);
  const inDay = ms - days * DAY_MS;
  // Proleptic Gregorian calendar in eras of 400 years (146,097 days), years counted from 1 March, so that the leap day
  // is the last of its year.
  const shifted = days + 719_468;
  const era = Math.floor(shifted / 146_097);
  const dayOfEra = shifted - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153);
  const day = dayOfYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1;
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9;
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  const time = `${pad(Math.floor(inDay / 3_600_000), 2)}:${pad(Math.floor(inDay / 60_000) % 60, 2)}`;
  const seconds = `${pad(Math.floor(inDay / 1000) % 60, 2)}.${pad(inDay % 1000, 3)}`;
  return `${pad(year, 4)}-${pad(month, 2)}-${pad(day, 2)}T${time}:${seconds}Z`;
}

/** Epoch milliseconds of the one form above; null for anything else, 30 February included. */
export function parseUtc(text: string): number | null {
  const match = UTC_PATTERN.exec(text);
  if (!match) return null;
  const [year, month, day, hour, minute, second, milli] = match.slice(1).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  // Date.UTC takes years 0–99 for 1900–1999; two calendar cycles later the days fall alike.
  const cycleMs = 146_097 * DAY_MS;
  const ms = Date.UTC(year + 400, month - 1, day, hour, minute, second, milli) - cycleMs;
  // Written back, a date that does not exist (or hour 24) comes out as another text.
  return utcText(ms) === text ? ms : null;
}
