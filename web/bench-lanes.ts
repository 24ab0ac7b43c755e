/** What the two lanes of the Bench show: the water in the box's air above, the chamber's air below. Pure. */
import type { StationState } from '../server/api/messages.ts';
import { type Samples, samplesOf, silenceLimitMs, type Take } from './columns.ts';
import { type Format, fixed, roundAge, withUnit } from './format.ts';
import { lowerStation, upperStation } from './lane-series.ts';
import type { LaneBand, LaneLine, LaneMark, LaneSpec } from './ruler/lane-spec.ts';
import { type LaneScale, linearScale } from './ruler/scale.ts';
import type { Range } from './ruler/view.ts';
import type { SeriesWindow } from './series-window.ts';
import { type Cast, nameIn, ownName, usable } from './stations.ts';
import { PLATE } from './words/bench.ts';
import { CHAMBER_LANE } from './words/chamber.ts';
import { fault, quantity } from './words/ground.ts';

/** A lane is never scaled to less than this, lest a sensor's noise fill it. */
const LEAST_VAPOUR_SPAN_G_PER_M3 = 4;
const LEAST_TEMPERATURE_SPAN = 12;
/** A ceiling further above what is seen than this part of it is left to the station's row. */
const CEILING_REACH = 0.5;

export interface LaneFacts {
  readonly stations: readonly StationState[];
  readonly cast: Cast;
  readonly series: Pick<SeriesWindow, 'get'>;
  readonly range: Range;
  /** Bench time, for words; and where the upright stands, which walks by whole pixels. */
  readonly clockMs: number;
  readonly nowMs: number;
  /** Since when nothing comes from the server; null while it does. */
  readonly lostSinceMs: number | null;
  readonly format: Format;
  readonly narrow: boolean;
}

export function vapourLane(facts: LaneFacts): LaneSpec {
  const station = upperStation(facts.cast);
  const room = facts.cast.room === station ? null : facts.cast.room;
  const lines: LaneLine[] = [];
  const bands: LaneBand[] = [];
  if (station) {
    const main = lineOf(facts, station, 'vapour', 'solid', nameIn(facts.stations, station));
    if (main) lines.push(main);
    const low = samplesIn(facts, station, 'vapour_low', 'low');
    const high = samplesIn(facts, station, 'vapour_high', 'high');
    if (low && high) bands.push({ low, high, tint: 1 });
  }
  const dotted = room && lineOf(facts, room, 'vapour', 'dotted', PLATE.room);
  if (dotted) lines.push(dotted);
  const air = station?.air ?? null;
  return {
    id: 'upper',
    title: station ? PLATE.vapourTitle(station.role, ownName(facts.stations, station)) : '',
    unit: PLATE.vapourUnit,
    substance: 'water',
    scale: linearScale(
      extent(facts.range, lines, bands) ?? { low: 0, high: 12 },
      LEAST_VAPOUR_SPAN_G_PER_M3,
      0,
    ),
    lines,
    bands,
    head: headOf(facts, station, lines[0], air?.vapourDensityGPerM3 ?? null, PLATE.vapourUnit),
    silence: silenceOf(facts, station, lines[0], ['rh', 't']),
    empty: lines.length === 0 ? (station ? PLATE.nothingYet : PLATE.noStation) : null,
    number,
  };
}

const number = (value: number): string => fixed(value, 1);

const spanOf = ({ low, high }: Extent): number => high - low;

export interface Extent {
  readonly low: number;
  readonly high: number;
}

export const airScale = (seen: Extent | null, format: Format): LaneScale =>
  linearScale(seen ?? roomToHot(format), LEAST_TEMPERATURE_SPAN);

/** What must not be passed, where it is near enough to what is seen that drawing it does not press the lane flat. */
export function ceilingOf(
  station: StationState | null,
  seen: Extent | null,
  format: Format,
): LaneMark | null {
  const ceiling = station?.ceiling;
  if (!ceiling || ceiling.ceilingC === null) return null;
  const value = format.shownTemperature(ceiling.ceilingC);
  const reach = seen && Math.max(LEAST_TEMPERATURE_SPAN, CEILING_REACH * spanOf(seen));
  if (!seen || reach === null || value - seen.high > reach || value < seen.low) return null;
  return {
    value,
    label: CHAMBER_LANE.ceiling(withUnit(fixed(value, 0), format.temperatureUnit)),
    ...(ceiling.whose !== null && { sub: CHAMBER_LANE.ceilingWhose(ceiling.whose) }),
  };
}

export const withCeiling = (seen: Extent | null, ceiling: LaneMark | null): Extent | null =>
  seen && ceiling ? { low: seen.low, high: Math.max(seen.high, ceiling.value) } : seen;

const roomToHot = (format: Format): { low: number; high: number } => ({
  low: format.shownTemperature(20),
  high: format.shownTemperature(60),
});

export function airLane(facts: LaneFacts): LaneSpec {
  const station = lowerStation(facts.cast);
  const { format } = facts;
  const shown = (line: LaneLine | null): LaneLine | null =>
    line && { ...line, values: line.values.map(format.shownTemperature) };
  const lines: LaneLine[] = [];
  if (station) {
    const keys = [
      ['t', 'solid', nameIn(facts.stations, station)],
      ['ts', 'dotted', PLATE.surface],
      ['tb', 'dotted', PLATE.bed],
    ] as const;
    for (const [key, look, name] of keys) {
      const line = shown(lineOf(facts, station, key, look, name));
      if (line) lines.push(line);
    }
  }
  const celsius = station && usable(station, 't');
  const current = celsius === null ? null : format.shownTemperature(celsius);
  // The bed is far hotter than any air; it would press the lane flat, so it is drawn only where it fits.
  const seen = extent(
    facts.range,
    lines.filter((line) => line.name !== PLATE.bed),
    [],
  );
  const ceiling = ceilingOf(station, seen, format);
  return {
    id: 'lower',
    title: station ? PLATE.airTitle(station.role, ownName(facts.stations, station)) : '',
    unit: format.temperatureUnit,
    substance: 'heat',
    scale: airScale(withCeiling(seen, ceiling), format),
    lines,
    bands: [],
    ...(ceiling && { ceiling }),
    head: headOf(facts, station, lines[0], current, format.temperatureUnit),
    silence: silenceOf(facts, station, lines[0], ['t']),
    empty: lines.length === 0 ? (station ? PLATE.nothingYet : PLATE.noStation) : null,
    number,
  };
}

export function samplesIn(
  facts: LaneFacts,
  station: StationState,
  key: string,
  take: Take,
  rhythmMs = station.intervalMs,
): Samples | null {
  const series = facts.series.get(station.id, key);
  if (!series) return null;
  const silenceMs = silenceLimitMs(series, rhythmMs);
  const own = samplesOf(series, take, silenceMs, facts.range.fromMs, facts.range.toMs);
  return own.atMs.length === 0 ? null : own;
}

function lineOf(
  facts: LaneFacts,
  station: StationState,
  key: string,
  look: LaneLine['look'],
  name: string,
): LaneLine | null {
  const own = samplesIn(facts, station, key, 'line');
  return own && { ...own, look, name };
}

/** Smallest and largest value in sight, of lines and bands alike. */
export function extent(range: Range, lines: readonly LaneLine[], bands: readonly LaneBand[]): Extent | null {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { atMs, values } of [...lines, ...bands.flatMap((band) => [band.low, band.high])])
    values.forEach((value, index) => {
      if (atMs[index]! < range.fromMs || atMs[index]! > range.toMs) return;
      if (value < low) low = value;
      if (value > high) high = value;
    });
  return low <= high ? { low, high } : null;
}

/** The ring at the newest value; none while its station is quiet, for then there is no value for now. */
function headOf(
  facts: LaneFacts,
  station: StationState | null,
  line: LaneLine | undefined,
  current: number | null,
  unit: string,
): LaneSpec['head'] {
  const atMs = line?.atMs.at(-1);
  const last = line?.values.at(-1);
  if (!station || station.quiet || facts.lostSinceMs !== null || facts.nowMs > facts.range.toMs) return null;
  if (atMs === undefined || last === undefined || current === null) return null;
  return { atMs, value: last, text: withUnit(number(current), unit) };
}

/** Where nothing is known up to now, and why: the station is quiet, its sensor is at fault, or the page is cut off. */
export function silenceOf(
  facts: LaneFacts,
  station: StationState | null,
  line: LaneLine | undefined,
  needed: readonly string[],
): LaneSpec['silence'] {
  const { format, clockMs, lostSinceMs, narrow } = facts;
  const lastHeard = (atMs: number): string => PLATE.lastHeard(format.when(atMs, clockMs));
  if (station?.quiet && station.heardMs !== null) {
    const quietFor = roundAge(Math.max(0, clockMs - station.heardMs));
    const words = narrow ? PLATE.quietFor(quietFor) : PLATE.quietLong(quietFor);
    return { fromMs: station.heardMs, words: [words, lastHeard(station.heardMs)] };
  }
  const endMs = line?.atMs.at(-1);
  const faulty = needed.find((key) => station && key in station.faults);
  if (station && faulty !== undefined && line && endMs !== undefined && clockMs - endMs > line.silenceMs) {
    const words = `${quantity(faulty)}: ${fault(station.faults[faulty] ?? '')}`;
    return { fromMs: endMs, words: [PLATE.faultSince(words), lastHeard(endMs)] };
  }
  if (lostSinceMs === null) return null;
  return { fromMs: lostSinceMs, words: [PLATE.lostFor, lastHeard(lostSinceMs)] };
}
