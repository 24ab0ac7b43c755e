/** Of a spool: its answer, its lane, its section, why, and what a person enters. */
import type { Drying, SpoolState } from '../../server/api/messages.ts';
import type { Piece } from '../pieces.ts';
import { capital, duration, inWords, type Spoken, spoolName } from './ground.ts';

const ringed = (text: string): Piece => ({ key: text, mark: 'ring', tone: 'water' });
const soft = (text: string): Piece => ({ soft: `(${text})` });

const DOING: Record<Drying['state'], string> = {
  idle: 'out of the box',
  warming: 'warming up',
  drying: 'drying',
  levelling: 'levelling out',
  dry: 'dry',
  regaining: 'taking up water',
  holding: 'kept, not dried',
  unknown: 'not known',
};

/** The answer about a spool. Moisture and times come as text, with their ranges. */
export const SPOOL = {
  percent: (value: string) => `${value}\u00a0%`,
  doing: (state: Drying['state']) => DOING[state],
  never: (name: string, limit: string) => `This air will not dry ${spoolName(name)} to ${limit}.`,
  perhapsNever: (name: string, limit: string) => `This air may never dry ${spoolName(name)} to ${limit}.`,
  stops: (value: string, band: string, floor: string, floorBand: string): Piece[] => [
    `It is at ${value} `,
    soft(band),
    ` and stops near ${floor} `,
    soft(floorBand),
    ' however long it stays in.',
  ],
  chances: (tenths: number) => `In ${inWords(tenths)} of ten likely cases it never gets there.`,
  tooEarly: 'Too early to say when it is dry.',
  warming: (name: string, value: string, band: string): Piece[] => [
    `${capital(spoolName(name))} is warming through, at ${value} `,
    soft(band),
    '.',
  ],
  heatedFor: (since: Spoken) => `The run began ${duration(since)} ago`,
  firstRange: (clock: string) => `; a first range comes at about ${clock}.`,
  firstSpan: (text: string): Piece[] => ['; a first range for dry is ', ringed(text), '.'],
  openSpan: (from: string, open: 'never' | 'beyond') =>
    open === 'never' ? `after ${from}, or never` : `after ${from}, perhaps in over a week`,
  about: (name: string, clock: string, band: string): Piece[] => [
    `Not yet. ${capital(spoolName(name))} is dry on average at about `,
    ringed(clock),
    ' ',
    soft(band),
    '.',
  ],
  between: (name: string, from: string, to: string): Piece[] => [
    `Not yet. ${capital(spoolName(name))} is dry on average between `,
    ringed(`${from} and ${to}`),
    '.',
  ],
  by: (name: string, to: string, how: 'not-yet' | 'not-sure' | 'likely'): Piece[] => [
    `${{ 'not-yet': 'Not yet', 'not-sure': 'Not yet sure', likely: 'Likely, not yet sure' }[how]}. ${capital(spoolName(name))} is dry on average by `,
    ringed(to),
    '.',
  ],
  nearly: (name: string, limit: string) =>
    `Very likely, not yet sure: ${spoolName(name)} averages under ${limit}.`,
  nearlyTell: ' It is called dry when nine in ten has held for an hour and a half.',
  from: (name: string, from: string, open: 'never' | 'beyond'): Piece[] => [
    `Not yet. ${capital(spoolName(name))} is dry on average after `,
    ringed(from),
    open === 'never' ? ', or never.' : ', perhaps in over a week.',
  ],
  beyond: (name: string) => `Not yet. ${capital(spoolName(name))} needs more than a week.`,
  noTime: (name: string, limit: string) => `Not yet. ${capital(spoolName(name))} is not under ${limit}.`,
  isAt: (value: string, band: string): Piece[] => [`It is at ${value} `, soft(band)],
  drying: ' and drying.',
  underAlready: (tenths: number, limit: string) =>
    ` In ${inWords(tenths)} of ten likely cases it is under ${limit} already.`,
  levelling: ' and hardly falling any more',
  near: (floor: string) => `, near the ${floor} that this air allows.`,
  stop: '.',
  outer: (grams: string, limit: string) => `The outer ${grams} can be counted on to be under ${limit}.`,
  dry: (name: string) => `${capital(spoolName(name))} is dry, every turn of it.`,
  dryOnAverage: 'Dry on average; inner turns not yet sure.',
  called: (name: string, value: string, band: string, limit: string, clock: string): Piece[] => [
    `${capital(spoolName(name))} is at ${value} `,
    soft(band),
    `, called under ${limit} since ${clock}.`,
  ],
  wettest: (value: string, band: string): Piece[] => [`Its wettest turn is at ${value} `, soft(band)],
  throughAt: (clock: string, limit: string) => ` Its wettest turn is under ${limit} at about ${clock}.`,
  throughBetween: (from: string, to: string, limit: string) =>
    ` Its wettest turn is under ${limit} between ${from} and ${to}.`,
  through: (clock: string) => `, under the limit at about ${clock}.`,
  kept: (name: string, value: string) => `Kept, not dried: ${spoolName(name)} is at ${value}.`,
  keptDry: (name: string, limit: string) => `Kept dry: ${spoolName(name)} is under ${limit}.`,
  keptTell: (band: string, limit: string, kind: SpoolState['limitKind']): Piece[] => [
    `Nine in ten: ${band}\u00a0%. The ${kind === 'own' ? 'limit you set' : 'printing limit (common practice, no source)'} is ${limit}. Outer turns follow the air in days, inner ones in weeks.`,
  ],
  regaining: (name: string) => `${capital(spoolName(name))} is taking up water again.`,
  passes: (limit: string, clock: string) => ` It passes ${limit} at about ${clock}.`,
  alreadyOver: (limit: string) => ` It is over ${limit}.`,
  stillUnder: (limit: string) => ` It stays under ${limit} as far as is looked ahead.`,
  out: (name: string, where: string) => `${capital(spoolName(name))} is out of ${where}.`,
  whenLastIn: (value: string, band: string): Piece[] => [
    `When last in, it was at ${value} `,
    soft(band),
    '.',
  ],
  unknown: (name: string) => `Cannot tell how wet ${spoolName(name)} is.`,
  unknownTell: (where: string) => `Nothing that bears on it has come from ${where} for ten minutes.`,
  whenLastHeard: (clock: string, name: string, value: string, band: string, doing: string): Piece[] => [
    `When last heard, at ${clock}, ${spoolName(name)} was at ${value} `,
    soft(band),
    ` and ${doing}.`,
  ],
  noRoom: 'There is no room sensor: the room’s air is assumed, and the range is wide for it.',
  help: 'What would change that',
  /** One line for the list of boxes. */
  line: {
    quiet: (age: string) => `▲ quiet for ${age}`,
    unheard: '▲ not heard yet',
    of: (name: string, doing: string, value: string, band: string) => `${name}: ${doing}, ${value} (${band})`,
    dryBetween: (text: string) => `, on average dry ${text}`,
    notHere: (limit: string) => `, not to ${limit} in this air`,
    orNever: (from: string) => `, on average dry after ${from}, or never`,
    noSpool: 'no spool',
    air: (values: string) => `, ${values}`,
  },
} as const;

export const MOISTURE = {
  line: 'moisture',
  title: (name: string) => `Moisture in ${spoolName(name)}`,
  shortTitle: 'Moisture',
  unit: '%',
  axis: 'wt %, log scale',
  axisShort: 'wt %',
  limit: (kind: SpoolState['limitKind'], value: string) =>
    kind === 'own' ? `your limit ${value}` : `printing limit ${value}`,
  limitGrade: ', common practice',
  floor: (value: string, band: string) => ({
    label: `floor ${value}`,
    sub: ` (${band}): this air takes it no lower`,
  }),
  level: (value: string, band: string) => ({
    label: `level with this air ${value}`,
    sub: ` (${band})`,
  }),
  dryAt: (clock: string) => `dry ${clock}`,
  dryFrom: (clock: string) => `dry from ${clock}`,
  dryLikely: (clock: string) => `likely dry since ${clock}`,
  dryOpen: 'dry, if at all',
  openRange: (from: string, open: 'never' | 'beyond') =>
    open === 'never' ? `${from} or never` : `${from} or over a week`,
  notReached: (limit: string) => `▲ Floor above limit: ${limit} is not reached in this air`,
  notReachedShort: '▲ not reached',
  perhapsNotReached: (limit: string) => `▲ ${limit} may never be reached in this air`,
  noForecast: 'no forecast',
  notInside: 'The spool is out of the box',
  nothingYet: 'No estimate in this span',
} as const;

export const WINDING = {
  title: 'Across the winding',
  fromOutside: 'grams from outside',
  zero: '0 g',
  wettest: (value: string) => `wettest turn ${value}`,
  wettestShort: (value: string) => `wettest ${value}`,
  was: (value: string) => `was ${value}`,
  atClock: (band: string, clock: string) => `${band}, at ${clock}`,
  what: (material: string, grams: string) => `${material}, ${grams}`,
  all: (grams: string) => `all ${grams}`,
  countedOn: 'usable, counted on',
  likely: (grams: string) => `likely ${grams}`,
  noneSure: 'none can be counted on yet',
  none: 'no turn is usable yet',
  notKnown: 'not known',
  quietSince: (clock: string) => `▲ quiet since ${clock}`,
  notTinted: 'turns not tinted',
  outsideFirst: 'outside leaves first',
  at: (clock: string) => `at ${clock}`,
  asOf: (clock: string) => `as of ${clock}`,
  limit: (value: string) => `limit ${value}`,
  label: (wettest: string, usable: string) =>
    `The spool in section, hub to outside. Wettest turn ${wettest}. Usable from the outside: ${usable}.`,
  labelUnknown: (clock: string) => `The spool in section. Not known: its box is quiet since ${clock}.`,
  usable: (sure: string, likely: string) => `${sure} can be counted on, ${likely} are likely`,
  table: 'The winding as a table',
  caption: 'Moisture from the outside to the hub',
  turns: 'turns',
  grams: 'grams from outside',
  moisture: 'moisture, wt %',
  place: (index: number, of: number) => (index === 0 ? 'outermost' : index === of - 1 ? 'at the hub' : ''),
} as const;

export const ENTRY = {
  weigh: 'Weigh-in with reel',
  grams: 'g',
  step: 'scale step',
  stepOf: (grams: string) => `${grams} g`,
  enter: 'Enter weight',
  did: 'Or say what happened',
  lid: 'Lid opened',
  in: 'Put in',
  out: 'Taken out',
  bagged: 'Bagged',
  start: 'Drying started',
  noNumber: 'Enter grams as a number, such as 742.5.',
  tooLittle: 'More than 0 g.',
  tooMuch: 'At most 50\u2009000 g.',
  lessThanFilament: (grams: string) =>
    `Less than the ${grams} of filament alone. Press again to enter it all the same.`,
  moreThanReel: (grams: string) =>
    `More than ${grams} of filament and any reel weigh. Press again to enter it all the same.`,
  farFromLast: (grams: string) =>
    `Far from the ${grams} it weighed last: more than water could make it. Press again to enter it all the same.`,
  looking: 'Held against the last weigh-in…',
  taken: (what: string, clock: string) => `Taken at ${clock}: ${what}.`,
  takenWeight: (grams: string, step: string) => `weighed ${grams}, scale step ${step}`,
  sending: 'Being sent…',
  refused: (sentence: string) => `Not taken: ${sentence}`,
  noAnswer: 'lowdew does not answer; enter it again when it does.',
  unexplained: (status: number) => `refused without words (${status}).`,
  kinds: {
    lid: 'lid opened',
    'spool-in': 'spool put in',
    'spool-out': 'spool taken out',
    bagged: 'spool bagged',
    'run-start': 'drying started',
    'weigh-in-undone': 'weigh-in taken back',
  },
} as const;
