/** Which places the two lanes of the Bench are of, and the series that they draw or say. Pure. */
import type { SpoolState, StationState } from '../server/api/messages.ts';
import type { SeriesId } from './series-window.ts';
import type { Cast } from './stations.ts';

/** History's series of a station that holds a 1 at the beginning of each opening of its lid or door. */
export const OPENED = 'opened';

/** Above: the box, or whatever else measures humidity. Below: the chamber, or else the box's own warmth. */
export const upperStation = ({ box, room, chamber }: Cast): StationState | null =>
  box ?? [room, chamber].find((station) => station?.air?.vapourDensityGPerM3 != null) ?? room ?? chamber;
export const lowerStation = ({ box, room, chamber }: Cast): StationState | null => chamber ?? box ?? room;

/** Of a spool's estimates in history, those that the plate draws or says. */
const SPOOL_FIGURES = [
  'moisture_p05',
  'moisture_p50',
  'moisture_p95',
  'wettest_p50',
  'ready_g_p05',
  'ready_g_p50',
] as const;

/** The same of a chamber's. */
const SOAK_FIGURES = [
  'soak.frame',
  'soak.frame_lag',
  'soak.final_p05',
  'soak.final_p50',
  'soak.final_p95',
] as const;

/** With a spool the upper lane is its moisture, else the water in the air. */
export function laneSeries(cast: Cast, spool: SpoolState | null = null): SeriesId[] {
  const ids: SeriesId[] = [];
  const add = (station: Pick<StationState, 'id'> | null, keys: readonly string[]): void => {
    if (station) for (const key of keys) ids.push({ station: station.id, key });
  };
  const upper = upperStation(cast);
  if (spool) add({ id: spool.station }, [...SPOOL_FIGURES.map((figure) => `${spool.id}.${figure}`), OPENED]);
  else {
    add(upper, ['vapour', 'vapour_low', 'vapour_high', OPENED]);
    if (cast.room !== upper) add(cast.room, ['vapour']);
  }
  const lower = lowerStation(cast);
  add(lower, ['t', 'ts', 'tb', ...(lower === upper || lower?.id === spool?.station ? [] : [OPENED])]);
  if (lower?.role === 'chamber') add(lower, SOAK_FIGURES);
  return ids;
}
