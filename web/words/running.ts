/** Of a job that runs, or is asked about: headings, excursions, and what both wait for. */
import type { Piece } from '../pieces.ts';
import { capital, inWords, spoolName } from './ground.ts';

const soft = (text: string): Piece => ({ soft: `(${text})` });
const flagged = (text: string): Piece => ({ key: text, mark: 'flag', tone: 'ink' });

export const RUNNING = {
  aside: 'The job',
  ends: (clock: string) => `ends ${clock}`,
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
  flag: (clock: string) => `start ${clock}`,
  theJob: 'the job',
  named: (name: string) => `“${name}”`,
  bedBy: (clock: string) => ` Bed on by about ${clock}.`,
  short: (has: string, needs: string) => ` There are ${has} for it; it needs ${needs}.`,
} as const;
