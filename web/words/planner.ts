/** Of the Planner: its five questions as sentences with blanks, their answers, and what these rest on. */
import type { Piece } from '../pieces.ts';

export type Asked = 'dry' | 'lie-out' | 'store' | 'fit' | 'air';

/** A piece of a question: words, or the blank of a field. */
export type QuestionPiece = string | { readonly blank: string };
const blank = (field: string): QuestionPiece => ({ blank: field });

const ROOM: readonly QuestionPiece[] = [' in a room of ', blank('roomC'), ' and ', blank('roomRhPercent')];
const TO_LIMIT: readonly QuestionPiece[] = [' (limit ', blank('limitWtPercent'), ')'];

export const QUESTIONS: Readonly<
  Record<Asked, { readonly name: string; readonly pieces: readonly QuestionPiece[] }>
> = {
  dry: {
    name: 'Dry',
    pieces: [
      'A spool of ',
      blank('netMassG'),
      ' ',
      blank('material'),
      ', ',
      blank('stored'),
      ' ',
      blank('startWtPercent'),
      ', goes into a box of ',
      blank('boxC'),
      ' that ',
      blank('supply'),
      ',',
      ...ROOM,
      '. When is it dry',
      ...TO_LIMIT,
      '?',
    ],
  },
  'lie-out': {
    name: 'Lie out',
    pieces: [
      'A spool of ',
      blank('netMassG'),
      ' ',
      blank('material'),
      ', dried to ',
      blank('startWtPercent'),
      ', lies open',
      ...ROOM,
      '. For how long may it',
      ...TO_LIMIT,
      '?',
    ],
  },
  store: {
    name: 'Store',
    pieces: [
      'A spool of ',
      blank('netMassG'),
      ' ',
      blank('material'),
      ', dried to ',
      blank('startWtPercent'),
      ', is kept in a bag of ',
      blank('bagAreaM2'),
      ' ',
      blank('film'),
      ' ',
      blank('thicknessUm'),
      ' with ',
      blank('desiccantG'),
      ' ',
      blank('desiccant'),
      ',',
      ...ROOM,
      '. How long does that hold',
      ...TO_LIMIT,
      '?',
    ],
  },
  fit: {
    name: 'Fit',
    pieces: [
      'A part of ',
      blank('material'),
      ', ',
      blank('sizeMm'),
      ' long with walls of ',
      blank('wallMm'),
      ', printed at ',
      blank('startWtPercent'),
      ' of water, is used',
      ...ROOM,
      '. How much does it grow?',
    ],
  },
  air: {
    name: 'Air',
    pieces: [
      'Air of ',
      blank('airTemperatureC'),
      ' and ',
      blank('relativeHumidityPercent'),
      ' at ',
      blank('pressureHPa'),
      ' is heated to ',
      blank('heatedToC'),
      '. How dry is it then?',
    ],
  },
};

/** What stands in a list of choices. */
export const CHOICES: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  stored: {
    'sealed-new': 'new and sealed until now',
    desiccant: 'kept with desiccant',
    room: 'kept in a room',
    damp: 'kept somewhere damp',
    unknown: 'kept nobody knows where',
    weighed: 'at a moisture of',
  },
  supply: {
    room: 'takes in room air',
    desiccant: 'takes in dried air',
    closed: 'is closed',
  },
  film: {
    ldpe: 'of polyethylene (LDPE)',
    hdpe: 'of polyethylene (HDPE)',
    'pp-oriented': 'of oriented polypropylene',
    pet: 'of polyester (PET)',
    pa6: 'of nylon 6',
    'flexed-foil': 'of foil laminate, used',
    barrier: 'of moisture-barrier film',
  },
  desiccant: { gel: 'of silica gel', sieve: 'of molecular sieve' },
};

const soft = (text: string): Piece => ({ soft: `(${text})` });
const ringed = (text: string): Piece => ({ key: text, mark: 'ring', tone: 'water' });

/** Headings say the range: a time nobody has measured is never known to half of itself. */
export const PLAN_ANSWER = {
  asking: 'Being worked out.',
  mistaken: 'Cannot tell: a marked blank is not filled in as it can be.',
  unanswered: 'Cannot tell: lowdew does not answer.',
  unansweredTell: 'It is asked again.',
  percent: (value: string) => `${value}\u00a0%`,
  between: (from: string, to: string) => `${from} to ${to}`,
  atMost: (to: string) => `at most ${to}`,
  noTime: 'no time',
  orNever: (from: string) => `at least ${from}, perhaps never`,
  orLater: (from: string, horizon: string) => `at least ${from}, perhaps over ${horizon}`,
  likely: (text: string): Piece[] => ['Most likely after ', ringed(text), '.'],
  never: 'never',
  later: (horizon: string) => `over ${horizon}`,
  dry: {
    after: (span: string) => `Dry after ${span}.`,
    never: (limit: string) => `This air will not dry it to ${limit}.`,
    later: (horizon: string) => `Not dry within ${horizon}.`,
    already: (limit: string) => `It is under ${limit} already.`,
    floor: (value: string, band: string): Piece[] => [` This air can take it to ${value} `, soft(band), '.'],
    stops: (value: string, band: string): Piece[] => [
      `It stops near ${value} `,
      soft(band),
      ' however long it stays in.',
    ],
    through: (span: string) => ` Every turn is dry after ${span}.`,
    chance: (inHundred: number) => ` In ${inHundred} of 100 likely cases it never gets there.`,
    noFloor: ' A closed box has no air that would take the water away.',
  },
  lieOut: {
    passes: (limit: string, span: string) => `Its outer turns pass ${limit} after ${span}.`,
    never: (limit: string) => `This room does not take it over ${limit}.`,
    later: (limit: string, horizon: string) => `Its outer turns stay under ${limit} for over ${horizon}.`,
    already: (limit: string) => `It is over ${limit} already.`,
    mean: (span: string) => ` The spool on average passes it after ${span}.`,
    level: (value: string, band: string): Piece[] => [
      ` This room takes it to ${value} `,
      soft(band),
      ' in the end.',
    ],
  },
  store: {
    holds: (limit: string, span: string) => `The bag keeps it under ${limit} for ${span}.`,
    never: (limit: string) => `This room does not take it over ${limit}, with or without a bag.`,
    later: (limit: string, horizon: string) => `The bag keeps it under ${limit} for over ${horizon}.`,
    already: (limit: string) => `It is over ${limit} already.`,
    likely: (text: string): Piece[] => ['Most likely for ', ringed(text), '.'],
    inflow: (value: string, band: string): Piece[] => [
      ` The bag lets in ${value} of water a day `,
      soft(band),
      '.',
    ],
    year: (value: string, band: string): Piece[] => [
      ` A year takes ${value} of fresh desiccant `,
      soft(band),
      '.',
    ],
    freeYear: ' A year takes no desiccant.',
    noneYear: ' No mass of this desiccant that a bag would hold lasts a year.',
  },
  fit: {
    grows: (range: string) => `It grows by ${range}.`,
    shrinks: (range: string) => `It shrinks by ${range}.`,
    hardly: (most: string) => `It hardly changes: by ${most} at most.`,
    likely: (value: string): Piece[] => [`Most likely by ${value}`],
    half: (span: string) => `, half of it after ${span}.`,
    leave: (value: string, size: string) => ` Leave ${value} on ${size} for it.`,
    gain: (value: string, band: string): Piece[] => [` It takes up ${value} of water `, soft(band), '.'],
  },
  air: {
    heated: (to: string, humidity: string) => `Heated to ${to}, this air is at ${humidity}.`,
    condenses: (to: string) => `At ${to} water condenses out of this air.`,
    holds: (value: string, band: string): Piece[] => [
      `It holds ${value} of water `,
      soft(band),
      ', and heating takes none of it.',
    ],
    dew: (value: string, band: string): Piece[] => [` Its dew point is ${value} `, soft(band), '.'],
    dewInterval: (low: string, high: string) =>
      ` Its dew point lies between ${low} and ${high}: too dry for one number.`,
    dewAtMost: (high: string) => ` Its dew point is at or below ${high}.`,
  },
} as const;

export const PLAN_LANE = {
  start: 'start',
  moisture: 'Moisture',
  outer: 'Moisture of the outer turns',
  growth: 'Growth',
  humidity: 'Humidity while it is heated',
  axis: 'wt %, log scale',
  axisRh: '%RH, log scale',
  median: 'median',
  before: 'before',
  wettest: 'wettest turn',
  mean: 'spool on average',
  dryAfter: (span: string) => `dry after ${span}`,
  passesAfter: (span: string) => `passes after ${span}`,
  slider: 'Look at another time',
  sliderAir: 'Look at another temperature',
  at: (place: string, parts: readonly string[]) => `${place}: ${parts.join('; ')}`,
  after: (span: string) => `after ${span}`,
  hint: 'Point at the chart, or use ← →, to read it elsewhere.',
  table: 'The chart as a table',
  caption: 'The curve in twelve steps',
  time: 'after',
  temperature: 'heated to',
  summary: (title: string, answer: string) => `${title}. ${answer} All values are in the table below.`,
  ruler: { min: 'min', h: 'h', day: 'd', month: 'months', year: 'years' },
} as const;

export const SPAN_UNITS = {
  s: (_: number) => 's',
  min: (_: number) => 'min',
  h: (_: number) => 'h',
  day: (figure: number) => (figure === 1 ? 'day' : 'days'),
  month: (figure: number) => (figure === 1 ? 'month' : 'months'),
  year: (figure: number) => (figure === 1 ? 'year' : 'years'),
} as const;

export const PLANNER = {
  asks: 'Questions',
  question: 'The question',
  fieldLabel: (name: string, unit: string) => `${name}, ${unit}`,
  only: (low: string, high: string, unit: string) => `▲ ${low} to ${high} ${unit}`,
  noNumber: (low: string, high: string, unit: string) => `▲ a number, ${low} to ${high} ${unit}`,
  fromTable: (value: string) => value,
  fromBench: 'As on the bench now',
  rests: 'What it rests on',
  constant: 'constant',
  value: 'value',
  source: 'source',
  grade: 'grade',
  granted: 'Taken for granted',
  limitPrinting: (value: string) =>
    `The limit of ${value} is where printing troubles begin: common practice, no source.`,
} as const;
