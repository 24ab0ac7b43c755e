/** The series known in memory, by station and key. Those of the file are met on opening. */
import type { Series } from './history-write.ts';

export interface SeriesBook {
  readonly all: readonly Series[];
  find(station: string, key: string): Series | undefined;
  /** Null when the book is full. */
  findOrBegin(station: string, key: string): Series | null;
  /** Takes over what a file says of its series, and that it knows no others. */
  meet(onFile: readonly Series[]): void;
}

/** Keys of all stations together; boards without a checksum can invent names without end. */
const MAX_SERIES = 1000;

export function createSeriesBook(): SeriesBook {
  const all: Series[] = [];
  const byStation = new Map<string, Map<string, Series>>();
  const find = (station: string, key: string): Series | undefined => byStation.get(station)?.get(key);
  const begin = (series: Series): Series => {
    all.push(series);
    const keys = byStation.get(series.station) ?? new Map<string, Series>();
    byStation.set(series.station, keys.set(series.key, series));
    return series;
  };
  return {
    all,
    find,
    findOrBegin(station, key) {
      const known = find(station, key);
      if (known) return known;
      return all.length < MAX_SERIES ? begin({ station, key, id: null, rolledMs: 0, newestMs: -1 }) : null;
    },
    meet(onFile) {
      for (const series of all) series.id = null;
      for (const found of onFile) {
        const known = find(found.station, found.key);
        if (known) Object.assign(known, found);
        else begin(found);
      }
    },
  };
}
