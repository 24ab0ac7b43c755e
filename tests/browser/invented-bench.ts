/** Four stations with invented readings, as the wire would tell of them on a Wednesday morning. */
import type { Air, Snapshot, SourceState, StationState } from '../../server/api/messages.ts';
import type { History } from './bench-double.ts';

/** 12:10:42 in the tests' time zone. */
export const NOW_MS = Date.UTC(2026, 2, 4, 11, 10, 42);
const HOUR = 3_600_000;

export const airOf = (parts: Partial<Air> & { airTemperatureC: number }): Air => ({
  atMs: NOW_MS,
  relativeHumidityPercent: null,
  dewPointC: null,
  dewPointBand: null,
  frostPointC: null,
  vapourDensityGPerM3: null,
  vapourDensityBandGPerM3: null,
  ...parts,
});

export const stationOf = (
  parts: Partial<StationState> & Pick<StationState, 'id' | 'role'>,
): StationState => ({
  heardMs: NOW_MS - 2000,
  intervalMs: 2000,
  quiet: false,
  checked: true,
  calibratedOn: null,
  values: {},
  flagged: [],
  faults: {},
  air: null,
  ceiling: null,
  counts: {},
  ...parts,
});

export const sourceOf = (parts: Partial<SourceState> = {}): SourceState => ({
  id: 'usb',
  where: '/dev/ttyUSB0 at 115200 baud',
  state: 'open',
  trouble: null,
  sinceMs: NOW_MS - 9 * HOUR,
  heardMs: NOW_MS - 1000,
  lines: 64_213,
  refused: { crc: 3 },
  restarts: {},
  boards: [{ board: 'bench', boot: '3f2a', lines: 64_213, lost: 5, duplicates: 0, late: 0 }],
  ...parts,
});

export const BOX = stationOf({
  id: 'box',
  role: 'drybox',
  values: { t: 80.1, rh: 3.6, m: 1184.2, ts: 74.3 },
  air: airOf({
    airTemperatureC: 80.1,
    relativeHumidityPercent: 3.6,
    dewPointC: 14.2,
    dewPointBand: { kind: 'interval', lowC: 5.1, highC: 20.9 },
    vapourDensityGPerM3: 10.5,
    vapourDensityBandGPerM3: { low: 5.2, high: 15.7 },
  }),
});
export const RIG = stationOf({
  id: 'rig',
  role: 'chamber',
  heardMs: NOW_MS - 1000,
  values: { t: 52.8, rh: 8.5, tb: 100.2 },
  counts: { 'fault.rh.nack': 2, 'flagged.t': 1 },
  air: airOf({
    airTemperatureC: 52.8,
    relativeHumidityPercent: 8.5,
    dewPointC: 9.6,
    dewPointBand: { kind: 'number', lowC: 6.3, highC: 12.4 },
    vapourDensityGPerM3: 8.0,
    vapourDensityBandGPerM3: { low: 6.3, high: 9.7 },
  }),
});
export const ROOM = stationOf({
  id: 'room',
  role: 'room',
  heardMs: NOW_MS - 4000,
  values: { t: 22.4, rh: 44.1 },
  checked: false,
  air: airOf({
    airTemperatureC: 22.4,
    relativeHumidityPercent: 44.1,
    dewPointC: 9.6,
    dewPointBand: { kind: 'number', lowC: 9.0, highC: 10.1 },
    vapourDensityGPerM3: 8.8,
    vapourDensityBandGPerM3: { low: 8.4, high: 9.1 },
  }),
});
export const CABINET = stationOf({ id: 'cabinet', role: 'electronics', values: { t: 38.6 } });

export const benchOf = (
  stations: StationState[] = [BOX, RIG, ROOM, CABINET],
  parts: Partial<Snapshot> = {},
): Omit<Snapshot, 'type' | 'sequence'> => ({
  atMs: NOW_MS,
  speed: 1,
  simulated: null,
  version: '0.1.0',
  historyTrouble: null,
  stations,
  sources: [sourceOf()],
  spools: [],
  chambers: [],
  jobs: [],
  alerts: [],
  unknownStations: [],
  ...parts,
});

/** A steady tremble, the same each time it is asked for. */
const tremble = (atMs: number, size: number): number =>
  size * (Math.sin(atMs / 37_000) * 0.6 + Math.sin(atMs / 9100) * 0.4);

/** The box's air dries since 04:10; the chamber is heated since 10:25. */
export const MORNING: History = (station, key, atMs) => {
  const sinceStartH = (atMs - (NOW_MS - 8 * HOUR)) / HOUR;
  const heatedMin = (atMs - (NOW_MS - 1.76 * HOUR)) / 60_000;
  const dry = 10.4 + 6.2 * Math.exp(-Math.max(0, sinceStartH) / 1.7) + tremble(atMs, 0.35);
  const chamber =
    heatedMin < 0 ? 22.4 : 57.4 - 18.6 * Math.exp(-heatedMin / 12) - 16.4 * Math.exp(-heatedMin / 85);
  if (station === 'box') {
    const lid = atMs > NOW_MS - 2.55 * HOUR && atMs < NOW_MS - 2.45 * HOUR;
    const vapour = lid ? dry - 1.4 : dry;
    if (key === 'vapour') return vapour;
    if (key === 'vapour_low') return vapour - 5.2;
    if (key === 'vapour_high') return vapour + 5.2;
    if (key === 't') return 80.1 + tremble(atMs, 0.1);
  }
  if (station === 'room' && key === 'vapour') return 8.8 + 0.3 * Math.sin(atMs / (1.1 * HOUR));
  if (station === 'rig') {
    if (key === 't') return chamber + tremble(atMs, 0.15);
    if (key === 'tb') return heatedMin < -15 ? 22.4 : 100.2 - 77 * Math.exp(-(heatedMin + 15) / 6);
  }
  if (station === 'cabinet' && key === 't')
    return 38.6 - 3.4 * Math.exp(-sinceStartH / 2) + tremble(atMs, 0.2);
  return null;
};
