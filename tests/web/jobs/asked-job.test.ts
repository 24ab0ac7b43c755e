import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  FIELDS,
  jobIdAt,
  pathOf,
  readJob,
  type Typed,
  typedIn,
  USUAL,
  withTyped,
} from '../../../web/jobs/asked-job.ts';

const BOUNDS = { spools: ['gear', 'hinge'], chambers: ['rig'], fahrenheit: false };
const typed = (parts: Partial<Typed> = {}): Typed => ({ ...USUAL, grams: '120', time: '7', ...parts });
const queryOf = (parts: Partial<Typed>, bounds = BOUNDS) => {
  const asked = readJob(typed(parts), bounds);
  return asked.ok ? asked.query : asked.wrong;
};

describe('the job in the address', () => {
  test('comes back as it was typed, and leaves what is not its own alone', () => {
    const text = fc.string({ maxLength: 80 });
    const some = fc.record({ name: text, spool: text, grams: text, time: text, chamber: text, boxC: text });
    fc.assert(
      fc.property(some, (parts) => {
        const one = typed(parts);
        const query = withTyped('left=a&right=b', one);
        expect(typedIn(query)).toEqual(one);
        expect(new URLSearchParams(query).get('left')).toBe('a');
      }),
    );
  });

  test('what is usual is left out; what no field can hold is the usual', () => {
    expect(withTyped('', USUAL)).toBe('');
    expect(withTyped('grams=5', USUAL)).toBe('');
    expect(typedIn('pace=never&exit=ajar&tube=?&sure=2')).toEqual(USUAL);
  });
});

describe('the job that is asked about', () => {
  test('the first spool and chamber where none is named, nine in ten, all else as it is', () => {
    expect(queryOf({})).toEqual({ spool: 'gear', chamber: 'rig', grams: 120, hours: 7, sure: 0.9 });
    expect(queryOf({ spool: 'hinge', chamber: 'none' })).toEqual({
      spool: 'hinge',
      grams: 120,
      hours: 7,
      sure: 0.9,
    });
    // One that is gone from the bench.
    expect(queryOf({ spool: 'gone', chamber: 'gone' })).toMatchObject({ spool: 'gear', chamber: 'rig' });
  });

  test('grams an hour become hours; a comma is a point', () => {
    expect(queryOf({ pace: 'rate', time: '16' })).toMatchObject({ grams: 120, hours: 7.5 });
    expect(queryOf({ grams: '12,5', time: '.5' })).toMatchObject({ grams: 12.5, hours: 0.5 });
    expect(queryOf({ pace: 'rate', time: '0.1' })).toEqual({
      time: 'At that rate it prints for 1200 h, and 240 h is the most: type more grams an hour.',
    });
  });

  test('the tube counts once its length is said', () => {
    expect(queryOf({ stood: '45', tube: 'dry' })).not.toHaveProperty('tubeStoodMin');
    expect(queryOf({ tubeM: '1.2', stood: '45' })).toMatchObject({
      tubeM: 1.2,
      tubeDry: false,
      tubeStoodMin: 45,
    });
    expect(queryOf({ exit: 'open', boxC: '60', chamberC: '55' })).toMatchObject({
      exitOpen: true,
      boxC: 60,
      chamberC: 55,
    });
  });

  test('degrees Fahrenheit are typed where they are shown', () => {
    expect(queryOf({ chamberC: '131' }, { ...BOUNDS, fahrenheit: true })).toMatchObject({ chamberC: 55 });
  });

  test('says beside the field what is wrong with it, and nothing of one that is only empty', () => {
    expect(readJob(USUAL, BOUNDS)).toEqual({ ok: false, missing: true, wrong: {} });
    expect(queryOf({ grams: 'many' })).toEqual({
      grams: '“many” is no number. Type the grams it takes in figures, such as 150.',
    });
    for (const grams of ['0', '60000', '-4', '−4'])
      expect(queryOf({ grams })).toEqual({
        grams: `${grams} is not possible here: type the grams it takes as a number above 0 and up to 50\u2009000.`,
      });
    expect(queryOf({ time: '300', chamberC: '0', boxC: '-4', tubeM: '1e3', stood: '-1' })).toEqual({
      time: '300 is not possible here: type the hours it prints as a number above 0 and up to 240.',
      chamberC:
        '0 is not possible here: type the temperature wanted in the chamber as a number above 0 and up to 200.',
      boxC: '-4 is not possible here: type the box temperature meanwhile as a number from 0 and up to 150.',
      tubeM: '“1e3” is no number. Type the length of the tube in metres in figures, such as 1.2.',
      stood:
        '-1 is not possible here: type the minutes that filament has stood in it as a number from 0 and up to 100\u2009000.',
    });
    // What the message calls possible is taken.
    expect(queryOf({ boxC: '0', tubeM: '1', stood: '0' })).toMatchObject({ boxC: 0, tubeStoodMin: 0 });
    expect(readJob(typed(), { ...BOUNDS, spools: [] })).toMatchObject({ ok: false, missing: true });
  });

  test('any text is read without a throw, and no number but a plain one', () => {
    fc.assert(
      fc.property(fc.record(Object.fromEntries(FIELDS.map((field) => [field, fc.string()]))), (parts) => {
        const asked = readJob({ ...USUAL, ...parts } as Typed, BOUNDS);
        expect(!asked.ok || (asked.query.grams > 0 && asked.query.hours > 0)).toBe(true);
      }),
    );
  });

  test('goes to the server as its query, and gets its id from the bench’s time', () => {
    expect(pathOf('/api/start', { spool: 'gear', grams: 120, hours: 7, exitOpen: true })).toBe(
      '/api/start?spool=gear&grams=120&hours=7&exitOpen=true',
    );
    const id = jobIdAt(Date.UTC(2026, 2, 4, 11, 10, 42, 250));
    expect(id).toBe('20260304-111042');
    // The form that the server takes for an id.
    expect(id).toMatch(/^[A-Za-z0-9_-]{1,32}$/);
  });
});
