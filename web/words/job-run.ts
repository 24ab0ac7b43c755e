/** Of a job that runs: how it goes, and what left its window. The Bench says it too. */
import type { Piece } from '../pieces.ts';
import { capital } from './ground.ts';

const soft = (text: string): Piece => ({ soft: `(${text})` });

export const RUN = {
  well: 'Printing as it should.',
  early: 'Printing; it is too early to judge it.',
  wellBut: (what: string) => `Printing as it should, but for ${what}.`,
  open: (what: string) => `Printing, but ${what}.`,
  paused: (clock: string) => `Paused since ${clock}.`,
  pausedPlain: 'Paused.',
  unknown: 'Printing; nothing can be said of its filament.',
  done: (done: string, of: string, fed: string, grams: string, name: string) =>
    `${capital(name)}: ${done} of ${of} done, ${fed} of ${grams} fed.`,
  over: (by: string, name: string) => `${capital(name)} is ${by} past its stated time.`,
  fed: (value: string, band: string): Piece[] => [` The turn being fed is at ${value} `, soft(band), '.'],
  rows: {
    fed: 'Turn being fed',
    chamber: 'Chamber',
    air: 'Feed air',
    ends: 'Ends',
  },
  against: (value: string, bound: string) => `${value} against ${bound}`,
  limit: (value: string) => `the limit of ${value}`,
  band: (middle: string, half: string) => `${middle} ± ${half}`,
  notKnown: 'not known',
  endsAt: (clock: string) => `at about ${clock}, if it goes on evenly`,
} as const;

/** Times of a thing out of its window: "from 17:05 to 17:19", or "since 17:05". */
export const span = (from: string, to: string | null): string =>
  to === null ? `since ${from}` : `from ${from} to ${to}`;

export const EXCURSION = {
  short: {
    'feed-air': 'damp feed air',
    'turn-too-wet': 'turns that were too wet',
    'chamber-off': 'a chamber off its temperature',
    door: 'an open door',
    quiet: 'a silence of a station',
    pause: 'a pause',
  },
  open: {
    'feed-air': 'the feed air is too damp',
    'turn-too-wet': 'the turn being fed is too wet',
    'chamber-off': 'the chamber is off its temperature',
    door: 'a door stands open',
    quiet: 'a station is quiet',
    pause: 'it is paused',
  },
  'feed-air': (when: string, worst: string, limit: string, goesOn: boolean) =>
    `The feed air ${goesOn ? 'has been' : 'was'} too damp ${when}: left in it, the filament would take on ${worst} at worst (limit ${limit}).`,
  'turn-too-wet': (when: string, worst: string, limit: string, goesOn: boolean) =>
    `The turn being fed ${goesOn ? 'has been' : 'was'} too wet ${when}: ${worst} at worst (limit ${limit}).`,
  'chamber-off': (when: string, worst: string, limit: string, goesOn: boolean) =>
    `The chamber ${goesOn ? 'has been' : 'was'} off its ${limit} ${when}: ${worst} at worst.`,
  door: (when: string, goesOn: boolean) => `A door ${goesOn ? 'has stood' : 'stood'} open ${when}.`,
  quiet: (where: string, when: string, goesOn: boolean) =>
    `${capital(where)} ${goesOn ? 'has been' : 'was'} quiet ${when}: nothing is claimed of that time.`,
  pause: (when: string, goesOn: boolean) => `${goesOn ? 'It has been paused' : 'Paused'} ${when}.`,
} as const;
