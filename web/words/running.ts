/** Of a job that runs, or is asked about: headings, excursions, and what both wait for. */
import type { Piece } from '../pieces.ts';
import { capital, duration, inWords, type Spoken, spoolName } from './ground.ts';

const soft = (text: string): Piece => ({ soft: `(${text})` });
const flagged = (text: string): Piece => ({ key: text, mark: 'flag', tone: 'ink' });

export const RUNNING = {
  held: 'Printing as it should.',
  butDoors: (doors: number) =>
    doors === 1
      ? 'Printing as it should, but for one open door.'
      : `Printing as it should, but for ${inWords(doors)} open doors.`,
  butOnce: (times: number) =>
    `Printing, out of its window ${times === 1 ? 'once' : `${inWords(times)} times`} so far.`,
  paused: (name: string) => `“${name}” is paused.`,
  since: (clock: string) => `Since ${clock}. `,
  done: (done: string, of: string) => `${done} of ${of} done.`,
  fed: (value: string, band: string, under: boolean): Piece[] => [
    ` The turn being fed is at ${value} `,
    soft(band),
    under ? ', under the limit.' : ', over the limit.',
  ],
  /** While it lasts. */
  now: {
    'turn-too-wet': (value: string | null, limit: string | null) =>
      value === null ? 'The turn being fed is too wet.' : `The turn being fed is at ${value}, over ${limit}.`,
    'chamber-off': (where: string, value: string | null) =>
      value === null
        ? `${capital(where)} is out of the job’s band.`
        : `${capital(where)} is out of the job’s band: ${value}.`,
    door: (where: string) => `A door of ${where} is open.`,
    'feed-air': (where: string) => `The air of ${where} is too damp for the job.`,
    quiet: 'Cannot tell how the job goes: a station of it is quiet.',
    pause: 'The job is paused.',
  },
  held2: (low: string, high: string) => `The job is held between ${low} and ${high}. `,
  feedAirTell: (value: string, limit: string) =>
    `In it, filament would drift to ${value}; the limit is ${limit}. `,
  past: {
    fell: (clock: string, where: string, value: string, back: Spoken) =>
      `At ${clock} ${where} fell to ${value} and was back in its band after ${duration(back)}. `,
    rose: (clock: string, where: string, value: string, back: Spoken) =>
      `At ${clock} ${where} rose to ${value} and was back in its band after ${duration(back)}. `,
    door: (clock: string, lasted: Spoken) => `At ${clock} a door was open for ${duration(lasted)}. `,
    other: (clock: string, what: string, lasted: Spoken) => `At ${clock}: ${what} for ${duration(lasted)}. `,
  },
  kinds: {
    'feed-air': 'damp air at the spool',
    'turn-too-wet': 'a turn too wet',
    'chamber-off': 'the chamber out of its band',
    door: 'a door open',
    quiet: 'a station quiet',
    pause: 'paused',
  },
  aside: {
    head: 'The window so far',
    chamber: 'chamber air',
    fed: 'fed',
    fedOf: (grams: string, of: string) => `${grams} of ${of}`,
    excursions: 'out of its window',
    none: 'never',
    times: (times: number) => (times === 1 ? 'once' : `${times} times`),
    ends: (clock: string) => `Ends at about ${clock}, if nothing stops it.`,
    over: 'Its time is up: end it on the Jobs screen when it is done.',
  },
} as const;

/** Spool and chamber together. */
export const JOINT = {
  canPrintAll: (grams: string) => `All ${grams} can be printed now.`,
  canPrintOuter: (grams: string) => `The outer ${grams} can be printed now.`,
  because: (name: string, limit: string, since: string | null): string =>
    `Nine in ten that every turn of ${spoolName(name)} is under ${limit}${since === null ? '' : `, and the chamber has been steady since ${since}`}.`,
  becauseOuter: (limit: string, since: string | null): string =>
    `Nine in ten that they are under ${limit}${since === null ? '' : `, and the chamber has been steady since ${since}`}.`,
  needsMinutes: (name: string, where: string, amount: string): string =>
    `${capital(spoolName(name))} is dry; ${where} needs about ${amount} more.`,
  dryButBetween: (name: string, where: string, from: string, to: string): Piece[] => [
    `${capital(spoolName(name))} is dry; ${where} is steady between `,
    { key: `${from} and ${to}`, mark: 'rails', tone: 'heat' },
    '.',
  ],
  dryButBy: (name: string, where: string, to: string): Piece[] => [
    `${capital(spoolName(name))} is dry; ${where} is steady by `,
    { key: to, mark: 'rails', tone: 'heat' },
    '.',
  ],
  dryBut: (name: string, where: string, how: 'not-yet' | 'early' | 'cold' | 'cooling' | 'unknown'): string =>
    `${capital(spoolName(name))} is dry; ${
      {
        'not-yet': `${where} is not yet steady`,
        early: `too early to say of ${where}`,
        cold: `${where} is cold`,
        cooling: `${where} is cooling`,
        unknown: `how warm ${where} is cannot be told`,
      }[how]
    }.`,
  quietChamber: (name: string) => `${capital(spoolName(name))} is dry.`,
  minutes: (amount: number) => `${amount} minutes`,
  hours: (amount: number) => `${inWords(amount)} hours`,
  heatLost: (where: string) => `${capital(where)} has lost its heat.`,
  heatLostTell: (air: string) => `It is at ${air}: look at its heater and its timer.`,
  takesUp: (name: string, value: string, band: string, doing: 'taking up' | 'not drying'): Piece[] => [
    ` ${capital(spoolName(name))} is at ${value} `,
    soft(band),
    doing === 'taking up' ? ' and takes up water again.' : ' and dries no more.',
  ],
} as const;

/** A start that is asked about. */
export const START = {
  now: (name: string) => `Start ${name} now.`,
  at: (name: string, clock: string): Piece[] => [`Not yet. Start ${name} at about `, flagged(clock), '.'],
  theJob: 'the job',
  named: (name: string) => `“${name}”`,
  bedBy: (clock: string) => ` Bed on by about ${clock}.`,
  short: (has: string, needs: string) => ` There are ${has} for it; it needs ${needs}.`,
} as const;
