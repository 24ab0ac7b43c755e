/**
 * Every word the page says, in one file, so that it can be said in another language. Sentences are functions of their
 * parts, since word order is a matter of the language too. Figures arrive as text from format.ts.
 *
 * Manners: say what to do or what is in the way, then what it rests on. No first person. Dry, steady and quiet have
 * their own meaning; words of praise ("ok", "ready", "safe") have none and are not used.
 */
import type { Role, SourceState } from '../server/api/messages.ts';
import type { Piece } from './pieces.ts';

export const LANGUAGE = 'en';

export const CALENDAR = {
  weekdays: ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'],
  months: ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
  beforeNoon: 'am',
  afterNoon: 'pm',
} as const;

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];
const inWords = (number: number): string => NUMBERS[number] ?? String(number);
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const plural = (amount: number, one: string, many = `${one}s`): string => (amount === 1 ? one : many);

/** "the box, the room and the chamber". */
export function listed(parts: readonly string[]): string {
  if (parts.length < 2) return parts.join('');
  return `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}

export interface Spoken {
  readonly amount: number;
  readonly unit: 'second' | 'minute' | 'hour' | 'day';
}
const duration = ({ amount, unit }: Spoken): string => `${amount} ${plural(amount, unit)}`;

const PLACES: Record<Role, string> = {
  drybox: 'drying box',
  storage: 'storage box',
  chamber: 'chamber',
  room: 'room',
  electronics: 'electronics',
};

/** What a station is called in a sentence; its own name is added where several share a role. */
export const place = (role: Role, name: string | null): string =>
  name === null ? `the ${PLACES[role]}` : `the ${PLACES[role]} “${name}”`;

const named = (name: string | null): string => (name === null ? '' : `, “${name}”`);

export const ROLE_NOTES: Record<Role, string> = {
  drybox: 'drying box',
  storage: 'storage box, no heat',
  chamber: 'printer chamber',
  room: 'room air',
  electronics: 'electronics',
};

const FAULTS: Record<string, string> = {
  nack: 'the sensor does not answer',
  crc: 'the sensor’s answer arrives damaged',
  range: 'the sensor calls its own value out of range',
  stuck: 'the sensor repeats one value',
};
/** A sensor's fault, as the end of a sentence. */
export const fault = (name: string): string => FAULTS[name] ?? `the sensor reports “${name}”`;

const QUANTITIES: Record<string, string> = {
  t: 'air',
  rh: 'humidity',
  m: 'scale',
  tm: 'load cell',
  ts: 'surface',
  tb: 'bed',
  p: 'pressure',
};
export const quantity = (key: string): string => QUANTITIES[key] ?? key.replace(/^x_/, '');

/** What a counter such as `fault.rh.nack` or `flagged.t` counts. */
export function counted(name: string): string {
  const [kind, key, detail] = name.split('.');
  if (kind === 'fault' && key) return `${quantity(key)}: ${fault(detail ?? '')}`;
  if (kind === 'flagged' && key) return `${quantity(key)}: outside its range`;
  return name.replaceAll('.', ', ');
}

const REFUSED: Record<string, string> = {
  blank: 'blank',
  'too-long': 'too long',
  'bad-byte': 'with bytes that are no text',
  'not-a-line': 'not LD1',
  version: 'of another version',
  'no-checksum': 'without checksum',
  crc: 'with a wrong checksum',
  malformed: 'malformed',
  'bad-number': 'with a bad number',
  'bad-value': 'with a bad value',
  'no-value': 'without a value',
  'duplicate-key': 'with a repeated key',
};
export const refused = (reason: string, text: string): string =>
  `${text} ${REFUSED[reason] ?? reason.replaceAll('-', ' ')}`;

/** The answer: headings of at most twelve words, and what they rest on. */
export const ANSWER = {
  asking: 'Asking what is heard.',
  askingTell: 'The page has not had its first word from lowdew yet.',
  noAnswer: 'Cannot tell: lowdew does not answer.',
  noAnswerTell:
    'Is it still running on the machine this page came from? The page goes on asking and needs no reload.',
  lost: (clock: string) => `Cannot tell: no word from lowdew since ${clock}.`,
  lostTell: 'All below is as it was then. The page goes on asking, and fills in what it missed.',
  nothingConnected: 'Nothing is connected yet.',
  nothingConnectedTell: 'As soon as a board speaks, its air stands here: temperature, humidity, dew point.',
  strangers: (names: readonly string[]) =>
    `${listed(names.map((name) => `“${name}”`))} ${names.length === 1 ? 'is' : 'are'} heard, but not in the bench file.`,
  strangersMany: (names: number) =>
    `${capital(inWords(names))} stations are heard that the bench file does not name.`,
  strangersTell: (name: string) =>
    `Add a [[station]] with id = "${name}" and its role to the bench file, then start lowdew again.`,
  neverHeard: (places: readonly string[]) => `Nothing has been heard yet from ${listed(places)}.`,
  neverHeardMany: (stations: number) => `Nothing has been heard yet from ${inWords(stations)} stations.`,
  neverHeardTell: (trouble: string | null) =>
    trouble ?? 'The port is open and no line has come. Is the board powered, and its sketch running?',
  allQuiet: (since: Spoken) => `Cannot tell: nothing has been heard for ${duration(since)}.`,
  allQuietTell: (trouble: string | null) =>
    trouble ?? 'All stations fell quiet. Look at the cable and at what powers the boards.',
  quiet: (where: readonly string[], since: Spoken) =>
    `Cannot tell: ${listed(where)} ${where.length === 1 ? 'has' : 'have'} been quiet for ${duration(since)}.`,
  quietAside: (where: readonly string[], since: Spoken) =>
    `${capital(listed(where))} ${where.length === 1 ? 'has' : 'have'} been quiet for ${duration(since)}.`,
  unheard: (where: readonly string[]) => `Cannot tell: nothing has been heard yet from ${listed(where)}.`,
  whenLastHeard: (clock: string, values: string) => `When last heard, at ${clock}, it was at ${values}.`,
  othersHeard: (others: number) =>
    others === 0
      ? ''
      : others === 1
        ? 'The other station is heard.'
        : `The other ${inWords(others)} stations are heard.`,
  humidityFault: (where: string) => `The humidity of ${where} is not heard.`,
  temperatureFault: (where: string) => `The temperature of ${where} is not heard.`,
  implausible: (where: string, value: string) => `${capital(where)} reads ${value}, which is not used.`,
  implausibleTell: 'That lies outside all a working sensor can mean. Look at its wires and its supply.',
  faultTell: (what: string) => `${capital(what)}. Look at its wires and its supply.`,
  heardOne: (where: string, values: string) => `${capital(where)} is heard: ${values}.`,
  heard: (stations: number, where: string, temperature: string) =>
    `${capital(inWords(stations))} stations are heard; ${where} is at ${temperature}.`,
  heardOnly: (stations: number) =>
    stations === 1 ? 'One station is heard.' : `${capital(inWords(stations))} stations are heard.`,
  holds: (amount: string, band: string | null): Piece[] => [
    `Its air holds ${amount} of water`,
    ...(band === null ? [] : [' ', { soft: `(${band})` }]),
  ],
  roomHolds: (amount: string, band: string | null): Piece[] => [
    `, the room’s ${amount}`,
    ...(band === null ? [] : [' ', { soft: `(${band})` }]),
  ],
  belowZero: (humidity: string, bound: string) =>
    `Its humidity sensor reads ${humidity}, drier than it can measure: dew point at or below ${bound}.`,
  chamberAt: (where: string, temperature: string) => `${capital(where)} is at ${temperature}.`,
  and: (first: string, second: string) => `${first} and ${second}`,
  stop: '.',
} as const;

export const LOOK_AT = {
  head: 'What to look at',
  lastLine: (where: string) => `last line from ${where}`,
  never: 'none yet',
  others: (others: number) => (others === 1 ? 'the other station' : `the other ${inWords(others)} stations`),
  heard: 'heard',
  note: 'Nothing is claimed about a place while it is quiet: its heater may be off too.',
} as const;

const SOURCE_STATES: Record<SourceState['state'], string> = {
  opening: 'opening',
  open: 'open',
  waiting: 'not open, tried again',
  ended: 'ended',
  closed: 'closed',
};

export const SOURCES = {
  head: 'Where lines come from',
  state: (state: SourceState['state']) => SOURCE_STATES[state],
  heard: (age: string) => `last line ${age} ago`,
  unheard: 'no line yet',
  lines: (lines: number, text: string) => `${text} ${plural(lines, 'line')}`,
  lost: (text: string) => `${text} lost on the way`,
  duplicates: (text: string) => `${text} twice`,
  late: (text: string) => `${text} late`,
  refusedList: (reasons: readonly string[]) => `refused: ${reasons.join(', ')}`,
  trouble: (sentence: string) => `▲ ${sentence}`,
  unknown: (names: readonly string[]) =>
    `▲ Also heard, but not in the bench file: ${listed(names.map((name) => `“${name}”`))}.`,
} as const;

export const HISTORY = {
  writeTrouble: (sentence: string) => `▲ History is not being written: ${sentence} What is live goes on.`,
  fetchTrouble: 'The history of this span has not arrived; it is asked for again.',
} as const;

export const SIMULATED = {
  word: 'SIMULATED',
  label: 'Simulated bench',
  tell: (scenario: string, speed: string) =>
    `Invented readings, ${speed} × speed${scenario === '' ? '' : `: ${scenario}`}.`,
} as const;

export const PAGE = {
  name: 'lowdew',
  bench: 'Bench',
  title: (parts: readonly string[]) => parts.join(' · '),
  screens: 'Screens',
  foot: 'Ranges in brackets are what the sensors’ tolerances allow. Dew points are over liquid water. Faults are counted from midnight UTC.',
  safety: 'Monitoring only: lowdew is not a safety device.',
  version: (version: string) => `lowdew ${version}`,
} as const;

export const STATIONS = {
  head: 'Stations',
  place: 'place',
  asOf: (clock: string) => `as of ${clock}`,
  heard: 'last heard',
  air: (unit: string) => `air, ${unit}`,
  humidity: 'humidity, %RH',
  dewPoint: (unit: string) => `dew point, ${unit}`,
  vapour: 'vapour, g/m³',
  recent: 'last 2 h',
  faults: 'faults today',
  never: 'never',
  neverNote: 'since the start',
  at: (clock: string) => `at ${clock}`,
  was: (value: string) => `was ${value}`,
  noSensor: 'no sensor',
  noValue: 'no value',
  implausible: 'outside its range, not used',
  unchecked: 'unchecked: no checksum in its lines',
  tooDry: 'too dry for one number',
  atMost: (value: string) => `at or below\u00a0${value}`,
  interval: (low: string, high: string) => `${low} to ${high}`,
  frost: (value: string) => `frost point ${value}`,
  quiet: (clock: string) => `Since ${clock}. Nothing about this place is claimed until it speaks again.`,
  quietNever: 'Nothing heard since the start.',
  quietRule: 'Station quiet.',
  quietMark: '▲',
  also: 'also',
  sparkLabel: (what: string, low: string, high: string) => `${what}, last 2 hours, from ${low} to ${high}`,
  sparkNone: 'nothing heard in the last 2 hours',
  watched: { vapour: 'vapour', t: 'air' } as Record<string, string>,
} as const;

export const PLATE = {
  label: 'Time ruler',
  vapourTitle: (role: Role, name: string | null) => `Water in the ${PLACES[role]} air${named(name)}`,
  airTitle: (role: Role, name: string | null) => `${capital(PLACES[role])} air${named(name)}`,
  vapourUnit: 'g/m³',
  humidityUnit: '%RH',
  room: 'room',
  surface: 'surface',
  bed: 'bed',
  now: 'now',
  quietFor: (text: string) => `▲ quiet, ${text}`,
  quietLong: (text: string) => `▲ Station quiet for ${text}`,
  faultSince: (what: string) => `▲ ${capital(what)}`,
  offScale: (name: string, value: string) => `${name} ${value}, off scale`,
  lostFor: '▲ No word from lowdew',
  lastHeard: (clock: string) => `last heard ${clock}`,
  nothingYet: 'No reading in this span',
  noStation: 'No station for this lane on this bench',
  hintPoint: 'Point at the plate, or use ← →, to read another time; drag to move, + and − to zoom.',
  hintTouch: 'Touch the plate to read another time; drag the ruler to move, pinch to zoom.',
  slider: 'Look at another time',
  fromReadings: 'from readings',
  ahead: 'not yet',
  asOf: (clock: string, kind: string, parts: readonly string[]) => `${clock}, ${kind}: ${parts.join('; ')}`,
  valueAt: (what: string, value: string) => `${what} ${value}`,
  notHeard: (what: string) => `${what} not heard`,
  summary: (titles: readonly string[], from: string, to: string, now: string) =>
    `${titles.join(' and ')}, from ${from} to ${to}; now is ${now}. All values are in the table below.`,
  spans: 'Show',
  span: (text: string) => text,
  toNow: 'to now',
  earlier: 'earlier',
  later: 'later',
  table: 'The plate as a table',
  time: 'time',
  between: 'The span shown, in twelve steps',
  shownOf: { box: 'Box on the plate', chamber: 'Chamber on the plate' },
} as const;

/** What to do on a bench that has nothing yet. */
export const FIRST_STEPS = {
  head: 'What to do next',
  steps: [
    {
      say: 'Connect a board that writes a line like this one every few seconds:',
      code: 'LD1 box 3f2a 41 82000 t=70.02 rh=4.81 *210B',
    },
    { say: 'See which ports this machine has:', code: 'npx lowdew ports' },
    {
      say: 'Write a bench file that names the port and the places:',
      code: '[[source]]\nid = "usb"\nport = "/dev/ttyUSB0"\n\n[[station]]\nid = "box"\nrole = "drybox"',
    },
    { say: 'Start lowdew with it:', code: 'npx lowdew run --bench bench.toml' },
  ],
  noBoard: 'No board at hand? Started without a bench file, lowdew runs a simulated bench and says so.',
} as const;
