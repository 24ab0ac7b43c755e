/** What stands in the cells of a station's row, as text. Pure; the table only lays it out. */
import type { StationState } from '../server/api/messages.ts';
import { age, count, type Format, fixed, NO_NUMBER, range, withUnit } from './format.ts';
import { STATIONS } from './words/bench.ts';
import { counted, fault, quantity } from './words/ground.ts';

export interface Cell {
  readonly value: string;
  readonly note: string;
  /** `soft`: not a value to rely on; `loud`: the one thing to see in this row. */
  readonly tone: 'plain' | 'soft' | 'loud';
}

const plain = (value: string, note = ''): Cell => ({ value, note, tone: 'plain' });
const none = (note: string): Cell => ({ value: NO_NUMBER, note, tone: 'soft' });

export interface StationCells {
  readonly heard: Cell;
  readonly air: Cell;
  readonly humidity: Cell;
  readonly dewPoint: Cell;
  readonly vapour: Cell;
  readonly faults: Cell;
  /** Other keys of the station's lines, as one phrase. */
  readonly also: string;
}

export function cellsOf(station: StationState, nowMs: number, format: Format): StationCells {
  return {
    heard: heardCell(station, nowMs, format),
    air: readingCell(station, 't', format.temperature),
    humidity: readingCell(station, 'rh', (value) => fixed(value, 1)),
    dewPoint: dewPointCell(station, format),
    vapour: vapourCell(station),
    faults: faultsCell(station),
    also: alsoPhrase(station, format),
  };
}

function heardCell(station: StationState, nowMs: number, format: Format): Cell {
  if (station.heardMs === null) return { value: STATIONS.never, note: STATIONS.neverNote, tone: 'loud' };
  const text = age(Math.max(0, nowMs - station.heardMs));
  if (!station.quiet) return plain(text);
  return { value: text, note: STATIONS.at(format.clockWithSeconds(station.heardMs)), tone: 'loud' };
}

function readingCell(station: StationState, key: string, say: (value: number) => string): Cell {
  const [value, name] = [station.values[key], station.faults[key]];
  if (station.quiet) return value === undefined ? none('') : none(STATIONS.was(say(value)));
  if (name !== undefined) return none(fault(name));
  if (value === undefined) return none(STATIONS.noSensor);
  if (station.flagged.includes(key)) return { value: say(value), note: STATIONS.implausible, tone: 'soft' };
  return plain(say(value));
}

/** A number with its range, an interval, or a bound: as much as the sensor's tolerance lets be said. */
function dewPointText(station: StationState, format: Format): { value: string; note: string } | null {
  const air = station.air;
  const band = air?.dewPointBand;
  if (!air || !band) return null;
  const whole = (celsius: number): string => fixed(format.shownTemperature(celsius), 0);
  if (band.kind === 'at-most') return { value: STATIONS.atMost(whole(band.highC)), note: STATIONS.tooDry };
  if (band.lowC === null) return { value: STATIONS.atMost(whole(band.highC)), note: STATIONS.tooDry };
  if (band.kind === 'interval')
    return { value: STATIONS.interval(whole(band.lowC), whole(band.highC)), note: STATIONS.tooDry };
  const frost =
    air.frostPointC !== null && (air.dewPointC ?? 0) < 0
      ? STATIONS.frost(format.temperature(air.frostPointC))
      : '';
  const notes = [format.temperatureRange(band.lowC, band.highC), frost].filter((note) => note !== '');
  return { value: format.temperature(air.dewPointC), note: notes.join(', ') };
}

/** Why a quantity that follows from temperature and humidity is missing. */
function derivedMissing(station: StationState): string {
  if (station.quiet) return '';
  const measured = (key: string): boolean => key in station.values || key in station.faults;
  return measured('rh') && measured('t') ? STATIONS.noValue : STATIONS.noSensor;
}

/** A quantity that follows from two is not known while one of them is not. */
const isFailing = ({ faults, flagged }: StationState): boolean =>
  ['t', 'rh'].some((key) => key in faults || flagged.includes(key));

function dewPointCell(station: StationState, format: Format): Cell {
  if (!station.quiet && isFailing(station)) return none(STATIONS.noValue);
  const text = dewPointText(station, format);
  if (text === null) return none(derivedMissing(station));
  return station.quiet ? none(STATIONS.was(text.value)) : plain(text.value, text.note);
}

function vapourCell(station: StationState): Cell {
  if (!station.quiet && isFailing(station)) return none(STATIONS.noValue);
  const air = station.air;
  const band = air?.vapourDensityBandGPerM3;
  if (!air || air.vapourDensityGPerM3 === null)
    return band && !station.quiet
      ? plain(STATIONS.atMost(fixed(band.high, 1)), STATIONS.tooDry)
      : none(derivedMissing(station));
  const value = fixed(air.vapourDensityGPerM3, 1);
  if (station.quiet) return none(STATIONS.was(value));
  return plain(value, band ? range(band.low, band.high, 1) : '');
}

function faultsCell(station: StationState): Cell {
  const counts = Object.entries(station.counts).sort((a, b) => b[1] - a[1]);
  const total = counts.reduce((sum, [, number]) => sum + number, 0);
  return plain(count(total), counts[0] ? counted(counts[0][0]) : '');
}

const KNOWN_UNITS: Record<string, string> = { m: 'g', p: 'hPa' };
const OWN_CELLS = new Set(['t', 'rh']);

function alsoPhrase(station: StationState, format: Format): string {
  const say = (key: string, value: number): string => {
    if (key === 'ts' || key === 'tb' || key === 'tm')
      return `${quantity(key)} ${withUnit(format.temperature(value), format.temperatureUnit)}`;
    const unit = KNOWN_UNITS[key];
    const number = fixed(value, key === 'm' ? 2 : 1);
    return `${quantity(key)} ${unit ? withUnit(number, unit) : number}`;
  };
  const values = Object.entries(station.values)
    .filter(([key]) => !OWN_CELLS.has(key) && !(key in station.faults))
    .map(([key, value]) => say(key, value));
  const faults = Object.entries(station.faults)
    .filter(([key]) => !OWN_CELLS.has(key))
    .map(([key, name]) => `${quantity(key)}: ${fault(name)}`);
  return [...values, ...faults].join(' · ');
}
