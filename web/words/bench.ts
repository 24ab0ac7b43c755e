/** Of the Bench: where lines come from, stations, the plate, the first steps. */
import type { Role, SourceState } from '../../server/api/messages.ts';
import { capital, listed, named, PLACES, plural } from './ground.ts';

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
  restarts: (causes: readonly string[]) => `began again: ${causes.join(', ')}`,
  trouble: (sentence: string) => `▲ ${sentence}`,
  unknown: (names: readonly string[]) =>
    `▲ Also heard, but not in the bench file: ${listed(names.map((name) => `“${name}”`))}.`,
} as const;

export const HISTORY = {
  writeTrouble: (sentence: string) => `▲ History is not being written: ${sentence} What is live goes on.`,
  fetchTrouble: 'The history of this span has not arrived; it is asked for again.',
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
  calibrated: (day: string) => `corrected by the calibration of ${day}`,
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
  lidOpened: (clock: string) => `lid opened ${clock}`,
  doorOpened: (clock: string) => `door opened ${clock}`,
  table: 'The chart as a table',
  happened: 'What happened in this span',
  time: 'time',
  between: 'The span shown, in twelve steps',
  shownOf: { box: 'Box on the chart', chamber: 'Chamber on the plate' },
} as const;

export const REPORT_LINK = 'This run as a report to print or keep';
