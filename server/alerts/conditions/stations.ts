/** Conditions about hearing a station at all: quiet boards, quiet stations, faulty sensors. */
import type { Priority } from '../../records.ts';
import type { StationFacts } from '../facts.ts';
import { type AlarmFinding, CLEAR } from '../finding.ts';
import { capital, duration, listed, measured } from '../say.ts';
import type { Context } from './context.ts';

const KEYS: Readonly<Record<string, string>> = {
  t: 'air temperature',
  rh: 'humidity',
  m: 'scale',
  tm: 'load cell',
  ts: 'surface',
  tb: 'bed',
  p: 'pressure',
};

const notKnown = ({ frozen }: Context): string =>
  frozen.length === 0
    ? ''
    : ` It cannot be told whether this still stands: ${listed(frozen.map(({ title }) => title.toLowerCase()))}.`;
/** Blind while something is being damaged is as pressing as the damage. */
const blindness = ({ frozen }: Context): { priority?: Priority } =>
  frozen.some(({ priority }) => priority === 'high') ? { priority: 'high' } : {};
const SEE_CABLE = 'Look at the cable and at what powers the board; unplug and plug it in again.';

/** A place that was heard before and is not now. Never heard at all: nothing is claimed of it. */
const isSilent = ({ everHeard, quiet, heardMs }: StationFacts): boolean =>
  everHeard && (quiet || heardMs === null);

/** All stations of one board fell quiet: one alarm for the board. */
export function boardQuiet(source: string, stations: readonly StationFacts[], c: Context): AlarmFinding {
  if (stations.length < 2) return CLEAR;
  if (!stations.every(isSilent)) return CLEAR;
  const heardMs = latest(stations);
  const places = listed(stations.map(({ id }) => c.say.place(id)));
  return {
    kind: 'met',
    sinceMs: heardMs,
    ...blindness(c),
    detail: `quiet ${blindness(c).priority ?? ''}`,
    words: {
      headline: `${capital(places)} are quiet: nothing comes from the board on ${source}.`,
      text: `${since(heardMs, c)} What rests on them is not known.${notKnown(c)}`,
      advice: SEE_CABLE,
      number: heardMs === null ? null : measured('quiet for', minutes(c.nowMs - heardMs), 'min'),
    },
  };
}

export function stationQuiet(
  station: StationFacts,
  ofSameBoard: readonly StationFacts[],
  c: Context,
): AlarmFinding {
  if (!station.everHeard) return CLEAR;
  if (!isSilent(station)) return CLEAR;
  if (ofSameBoard.length > 1 && ofSameBoard.every(isSilent)) return { kind: 'held', by: 'board-quiet' };
  const place = c.say.place(station.id);
  return {
    kind: 'met',
    sinceMs: station.heardMs,
    ...blindness(c),
    detail: `quiet ${blindness(c).priority ?? ''}`,
    words: {
      headline: `${capital(place)} is quiet.`,
      text: `${since(station.heardMs, c)} What rests on it is not known.${notKnown(c)}`,
      advice:
        ofSameBoard.length > 1
          ? 'Its board still speaks for other stations: look at this sensor’s wires.'
          : SEE_CABLE,
      number:
        station.heardMs === null ? null : measured('quiet for', minutes(c.nowMs - station.heardMs), 'min'),
    },
  };
}

/** The board speaks and says that a sensor does not answer, or the value is none that a working sensor can mean. */
export function sensorFault(station: StationFacts, c: Context): AlarmFinding {
  const { faultyKeys } = station;
  if (faultyKeys.kind === 'missing') return faultyKeys;
  const keys = faultyKeys.value;
  if (keys.length === 0) return CLEAR;
  const names = listed(keys.map((key) => KEYS[key] ?? key.replace(/^x_/, '')));
  return {
    kind: 'met',
    sinceMs: null,
    ...blindness(c),
    detail: [...keys, blindness(c).priority ?? ''].sort().join(' '),
    words: {
      headline: `${capital(c.say.place(station.id))}: no usable ${names}.`,
      text: `The board is heard, but the ${names} ${keys.length === 1 ? 'comes' : 'come'} with a fault or outside all that a working sensor can mean. It is not used.${notKnown(c)}`,
      advice: 'Look at the sensor’s wires, plug and supply.',
      number: null,
    },
  };
}

const minutes = (ms: number): number => Math.max(0, Math.round(ms / 60_000));
const latest = (stations: readonly StationFacts[]): number | null =>
  stations.reduce<number | null>(
    (most, { heardMs }) => (heardMs !== null && (most === null || heardMs > most) ? heardMs : most),
    null,
  );
const since = (heardMs: number | null, c: Context): string =>
  heardMs === null
    ? 'Nothing has been heard since lowdew was started again.'
    : `Last heard at ${c.say.clock(heardMs)}, ${duration(c.nowMs - heardMs)} ago.`;
