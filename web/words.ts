/**
 * Every word the page says, in one file, so that it can be said in another language. Sentences are functions of their
 * parts, since word order is a matter of the language too. Figures arrive as text from format.ts.
 *
 * Manners: say what to do or what is in the way, then what it rests on. No first person. Dry, steady and quiet have
 * their own meaning; words of praise ("ok", "ready", "safe") have none and are not used.
 */
import type { Drying, Role, SourceState, SpoolState } from '../server/api/messages.ts';
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
  unheardAside: (where: string) => `Nothing has been heard yet from ${where}.`,
  othersHeard: (others: number, alsoQuiet = 0) =>
    others === 0
      ? ''
      : alsoQuiet > 0
        ? `${capital(inWords(others))} other ${plural(others, 'station')} ${others === 1 ? 'is' : 'are'} heard.`
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

/** "the gear spool"; a name that says what it is stands alone. */
const spoolName = (name: string): string =>
  /spool|stock|reel/i.test(name) ? `the ${name}` : `the ${name} spool`;
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
    `Not yet. ${capital(spoolName(name))} is dry at about `,
    ringed(clock),
    ' ',
    soft(band),
    '.',
  ],
  between: (name: string, from: string, to: string): Piece[] => [
    `Not yet. ${capital(spoolName(name))} is dry between `,
    ringed(`${from} and ${to}`),
    '.',
  ],
  by: (name: string, to: string, how: 'not-yet' | 'not-sure' | 'likely'): Piece[] => [
    `${{ 'not-yet': 'Not yet', 'not-sure': 'Not yet sure', likely: 'Likely, but not yet sure' }[how]}. ${capital(spoolName(name))} is dry by `,
    ringed(to),
    '.',
  ],
  from: (name: string, from: string, open: 'never' | 'beyond'): Piece[] => [
    `Not yet. ${capital(spoolName(name))} is dry after `,
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
  dry: (name: string) => `${capital(spoolName(name))} is dry.`,
  dryOnAverage: 'Dry on average; inner turns not yet sure.',
  called: (name: string, value: string, band: string, limit: string, clock: string): Piece[] => [
    `${capital(spoolName(name))} is at ${value} `,
    soft(band),
    `, called under ${limit} since ${clock}.`,
  ],
  wettest: (value: string, band: string): Piece[] => [`Its wettest turn is at ${value} `, soft(band)],
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
    dryBetween: (text: string) => `, dry ${text}`,
    notHere: (limit: string) => `, not to ${limit} in this air`,
    orNever: (from: string) => `, dry after ${from}, or never`,
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
    kind === 'own' ? `your limit ${value}` : `printing limit ${value}, common practice`,
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

export const WHY = {
  head: 'Why this number',
  silent: (labels: readonly string[]) => `The readings say nothing yet of: ${labels.join(', ')}.`,
  assumed: 'What was assumed',
  data: 'What the data say',
  sharpen: 'What would sharpen it',
  now: (value: string, band: string, unit: string) => `${value}${unit} (${band})`,
  was: (value: string, band: string) => `was ${value} (${band})`,
  unchanged: 'unchanged: the data are silent',
  key: (since: string) => `Dashed: assumed before. Solid: after ${since} of readings. Nine in ten.`,
  noData: 'Nothing yet: the first fit of a run comes after ten minutes.',
  nothing: 'Nothing more: what would help most is known.',
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
  },
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
  foot: 'Ranges of air are what the sensors’ tolerances allow. Dew points are over liquid water. Faults are counted from midnight UTC.',
  footSpool:
    'Moisture is wt % of dry polymer; ranges in brackets: nine in ten. Times assume that heater, room and lid stay as they are.',
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
  hintPoint: 'Point at the chart, or use ← →, to read another time; drag to move, + and − to zoom.',
  hintTouch: 'Touch the chart to read another time; drag the ruler to move, pinch to zoom.',
  slider: 'Look at another time',
  fromReadings: 'from readings',
  ahead: 'forecast',
  kind: 'kind',
  range: (low: string, high: string) => `${low}–${high}`,
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
  table: 'The chart as a table',
  time: 'time',
  between: 'The span shown, in twelve steps',
  shownOf: { box: 'Box on the chart', chamber: 'Chamber on the plate' },
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
