/**
 * Quiet hours by the clock of their zone. Truth: the zone's published rule. In Berlin clocks went from 02:00 to 03:00 on
 * 29 March 2026 and go back from 03:00 to 02:00 on 25 October 2026 (EU directive 2000/84/EC: last Sundays of March and
 * October at 01:00 UTC); New Delhi is at +05:30 all year.
 */
import { describe, expect, test } from 'vitest';
import { checkQuietHours, isQuietNow } from '../../server/alerts/quiet-hours.ts';

const BERLIN = { zone: 'Europe/Berlin', from: '22:00', to: '07:00' };
const at = (text: string): number => Date.parse(text);

describe('quiet from 22:00 to 07:00 in Berlin', () => {
  test.each([
    ['2026-03-28T20:59:59Z', false, 'winter, 21:59:59'],
    ['2026-03-28T21:00:00Z', true, 'winter, 22:00'],
    ['2026-03-29T04:59:59Z', true, 'summer time has begun: 06:59:59'],
    ['2026-03-29T05:00:00Z', false, 'summer time: 07:00'],
    ['2026-03-29T20:00:00Z', true, 'summer, 22:00'],
    ['2026-10-25T05:59:59Z', true, 'winter again: 06:59:59'],
    ['2026-10-25T06:00:00Z', false, 'winter: 07:00'],
    ['2026-07-01T12:00:00Z', false, 'noon'],
  ])('%s is %s: %s', (time, quiet) => {
    expect(isQuietNow(BERLIN, at(time))).toBe(quiet);
  });
});

test('a stretch within one day, in a zone of half hours', () => {
  const hours = { zone: 'Asia/Kolkata', from: '13:00', to: '14:30' };
  expect(isQuietNow(hours, at('2026-06-01T07:29:59Z'))).toBe(false);
  expect(isQuietNow(hours, at('2026-06-01T07:30:00Z'))).toBe(true);
  expect(isQuietNow(hours, at('2026-06-01T08:59:59Z'))).toBe(true);
  expect(isQuietNow(hours, at('2026-06-01T09:00:00Z'))).toBe(false);
});

test('what is no zone or no time is said', () => {
  expect(checkQuietHours(BERLIN)).toBeNull();
  expect(checkQuietHours({ ...BERLIN, zone: 'Berlin' })).toContain('"Berlin" is no time zone');
  expect(checkQuietHours({ ...BERLIN, from: '24:00' })).toContain('such as "22:00"');
  expect(checkQuietHours({ ...BERLIN, to: '22:00' })).toContain('are none');
  expect(isQuietNow(null, 0)).toBe(false);
});
