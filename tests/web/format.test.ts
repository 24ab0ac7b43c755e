// Before anything asks for a date: a zone with summer time, whatever machine this is.
process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import {
  age,
  count,
  createFormat,
  DEFAULT_PREFERENCES,
  fixed,
  localTimes,
  moisture,
  moistureRange,
  NO_NUMBER,
  range,
  roundAge,
  spoken,
  withUnit,
} from '../../web/format.ts';

const format = createFormat(DEFAULT_PREFERENCES);
const utc = (text: string): number => Date.parse(text);

describe('numbers', () => {
  test.each([
    [80.06, 1, '80.1'],
    [-1.2, 1, '\u22121.2'],
    [-0.04, 1, '0.0'],
    [0, 2, '0.00'],
    [null, 1, NO_NUMBER],
    [undefined, 1, NO_NUMBER],
    [Number.NaN, 1, NO_NUMBER],
    [Number.POSITIVE_INFINITY, 1, NO_NUMBER],
  ])('%s with %i decimals is "%s"', (value, decimals, text) => {
    expect(fixed(value, decimals)).toBe(text);
  });

  test('a range has a dash, and the word "to" where a minus would stand beside it', () => {
    expect(range(5.2, 15.7, 1)).toBe('5.2–15.7');
    expect(range(-3.14, 2, 1)).toBe('\u22123.1 to 2.0');
  });

  test('large counts are grouped, four digits are not', () => {
    expect(count(3)).toBe('3');
    expect(count(6421)).toBe('6421');
    expect(count(64_213)).toBe('64\u2009213');
    expect(count(1_234_567)).toBe('1\u2009234\u2009567');
  });

  test('a unit sticks to its number, and to nothing else', () => {
    expect(withUnit('80.1', '°C')).toBe('80.1\u00a0°C');
    expect(withUnit(NO_NUMBER, '°C')).toBe(NO_NUMBER);
  });

  // 0 °C = 32 °F, 100 °C = 212 °F, −40 °C = −40 °F: by definition.
  test('Fahrenheit where it is preferred', () => {
    const imperial = createFormat({ clock: '12h', temperature: 'F' });
    expect(imperial.temperature(0)).toBe('32.0');
    expect(imperial.temperature(100)).toBe('212.0');
    expect(imperial.temperature(-40)).toBe('\u221240.0');
    expect(imperial.temperatureUnit).toBe('°F');
    expect(format.temperature(52.84)).toBe('52.8');
  });
});

describe('durations', () => {
  test.each([
    [0, '0 s'],
    [-500, '0 s'],
    [59_999, '59 s'],
    [60_000, '1 min'],
    [371_000, '6 min 11 s'],
    [3_600_000, '1 h'],
    [11_100_000, '3 h 5 min'],
    [90_000_000, '1 d 1 h'],
    [31 * 86_400_000, '31 d'],
  ])('%i ms is %s', (ms, text) => {
    expect(age(ms)).toBe(text);
  });

  test('rounded down to one unit for a label', () => {
    expect(roundAge(371_000)).toBe('6 min');
    expect(roundAge(8000)).toBe('8 s');
  });

  test('spoken in the largest unit that is not a single hour or day', () => {
    expect(spoken(371_000)).toEqual({ amount: 6, unit: 'minute' });
    expect(spoken(90 * 60_000)).toEqual({ amount: 90, unit: 'minute' });
    expect(spoken(3 * 3_600_000)).toEqual({ amount: 3, unit: 'hour' });
    expect(spoken(30 * 3_600_000)).toEqual({ amount: 30, unit: 'hour' });
    expect(spoken(3 * 86_400_000)).toEqual({ amount: 3, unit: 'day' });
    expect(spoken(400)).toEqual({ amount: 0, unit: 'second' });
  });
});

describe('clock times', () => {
  // Outside check: Intl with the same zone named.
  test('agree with Intl through a whole year, both ways of writing them', () => {
    const long = new Intl.DateTimeFormat('en-GB', {
      timeZone: 'Europe/Berlin',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
    });
    const short = new Intl.DateTimeFormat('en-US', {
      timeZone: 'Europe/Berlin',
      hour: 'numeric',
      minute: '2-digit',
      hour12: true,
    });
    const twelve = createFormat({ clock: '12h', temperature: 'C' });
    for (let at = utc('2026-01-01T00:00:00Z'); at < utc('2027-01-01T00:00:00Z'); at += 7_654_321) {
      expect(format.clockWithSeconds(at)).toBe(long.format(at));
      expect(twelve.clock(at)).toBe(short.format(at).toLowerCase().replace(/\s/g, ' '));
    }
  });

  test('another day brings its weekday, a far one its date', () => {
    const now = utc('2026-03-04T11:10:42Z');
    expect(format.when(now - 3_600_000, now)).toBe('11:10');
    expect(format.when(utc('2026-03-05T02:10:00Z'), now)).toBe('Thu 03:10');
    expect(format.when(utc('2026-02-12T02:10:00Z'), now)).toBe('12 Feb 03:10');
    expect(format.dayAndClock(now)).toBe('Wed 12:10');
  });
});

describe('marks on the ruler', () => {
  const clocks = (times: readonly number[]): string[] => times.map((at) => format.clock(at));

  test('the night on which the clocks go forward has no 02:00', () => {
    const times = localTimes(utc('2026-03-28T23:00:00Z'), utc('2026-03-29T04:00:00Z'), {
      unit: 'hour',
      every: 1,
    });
    expect(clocks(times)).toEqual(['00:00', '01:00', '03:00', '04:00', '05:00', '06:00']);
    expect(times.every((at, index) => index === 0 || at - times[index - 1]! === 3_600_000)).toBe(true);
  });

  test('the night on which they go back has 02:00 twice, an hour apart', () => {
    const times = localTimes(utc('2026-10-24T22:00:00Z'), utc('2026-10-25T03:00:00Z'), {
      unit: 'hour',
      every: 1,
    });
    expect(clocks(times)).toEqual(['00:00', '01:00', '02:00', '02:00', '03:00', '04:00']);
  });

  test('six-hour marks stay on local 00, 06, 12 and 18 through both changes', () => {
    for (const start of ['2026-03-27T23:00:00Z', '2026-10-23T22:00:00Z']) {
      const from = utc(start);
      const times = localTimes(from, from + 4 * 86_400_000, { unit: 'hour', every: 6 });
      expect(new Set(clocks(times))).toEqual(new Set(['00:00', '06:00', '12:00', '18:00']));
    }
  });

  test('days are local midnights, also when a day has 23 hours', () => {
    const times = localTimes(utc('2026-03-27T12:00:00Z'), utc('2026-03-31T12:00:00Z'), {
      unit: 'day',
      every: 1,
    });
    expect(times.map((at) => new Date(at).toISOString())).toEqual([
      '2026-03-27T23:00:00.000Z',
      '2026-03-28T23:00:00.000Z',
      '2026-03-29T22:00:00.000Z',
      '2026-03-30T22:00:00.000Z',
    ]);
  });

  test('every second day leaves out the last of a month that would crowd the first of the next', () => {
    const times = localTimes(utc('2026-01-27T12:00:00Z'), utc('2026-02-04T12:00:00Z'), {
      unit: 'day',
      every: 2,
    });
    expect(times.map((at) => format.date(at))).toEqual(['29 Jan', '1 Feb', '3 Feb']);
  });

  test('minutes fall on whole multiples from midnight', () => {
    const times = localTimes(utc('2026-03-04T11:07:00Z'), utc('2026-03-04T11:31:00Z'), {
      unit: 'minute',
      every: 10,
    });
    expect(clocks(times)).toEqual(['12:10', '12:20', '12:30']);
  });
});

describe('moisture and times ahead', () => {
  /** 12:10:42 on a Wednesday in Berlin. */
  const now = Date.UTC(2026, 2, 4, 11, 10, 42);
  const at = (day: number, hour: number, minute: number): number => Date.UTC(2026, 2, day, hour - 1, minute);

  test('two decimals of moisture under 1, one above', () => {
    expect([0.004, 0.2, 0.994, 0.996, 1.26, 12].map((value) => moisture(value))).toEqual([
      '0.00',
      '0.20',
      '0.99',
      '1.0',
      '1.3',
      '12.0',
    ]);
    expect(moisture(null)).toBe('–');
    expect(moistureRange({ p05: 0.28, p95: 1.04 })).toBe('0.28–1.0');
  });

  test('5 min under 6 h, 15 min under 24 h, else an hour; the weekday after midnight', () => {
    expect(format.about(at(4, 16, 43), now)).toBe('16:45');
    expect(format.about(at(4, 18, 43), now)).toBe('18:45');
    expect(format.about(at(4, 18, 36), now)).toBe('18:30');
    expect(format.about(at(5, 3, 10), now)).toBe('Thu 03:15');
    expect(format.about(at(5, 14, 20), now)).toBe('Thu 14:00');
    expect(format.about(at(4, 23, 58), now)).toBe('Thu 00:00');
  });

  test('a range says a day that both ends share once', () => {
    expect(format.aboutRange(at(4, 14, 50), at(4, 17, 2), now)).toBe('14:50–17:00');
    expect(format.aboutRange(at(4, 18, 15), at(5, 17, 0), now)).toBe('Wed 18:15–Thu 17:00');
    // A range that began yesterday and ends today: either end alone would be taken for the other day's.
    expect(format.aboutRange(at(3, 22, 55), at(4, 20, 15), now)).toBe('Tue 22:55–Wed 20:15');
    expect(format.aboutRange(at(5, 3, 10), at(5, 9, 0), now)).toBe('Thu 03:15–09:00');
  });
});
