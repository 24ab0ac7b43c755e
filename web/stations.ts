/** Which stations the page speaks of, and by what name. Pure. */
import type { Role, StationState } from '../server/api/messages.ts';
import { place } from './words.ts';

export const isBox = (station: StationState): boolean =>
  station.role === 'drybox' || station.role === 'storage';

export interface Chosen {
  readonly boxId: string | null;
  readonly chamberId: string | null;
}

export interface Cast {
  readonly box: StationState | null;
  readonly chamber: StationState | null;
  readonly room: StationState | null;
}

/** The pair on the plate: those chosen by hand while they exist, else the first of their kind; heated boxes first. */
export function castOf(stations: readonly StationState[], chosen: Chosen): Cast {
  const pick = (id: string | null, among: readonly StationState[]): StationState | null =>
    among.find((station) => station.id === id) ?? among[0] ?? null;
  const withRole = (role: Role): StationState[] => stations.filter((station) => station.role === role);
  return {
    box: pick(chosen.boxId, [...withRole('drybox'), ...withRole('storage')]),
    chamber: pick(chosen.chamberId, withRole('chamber')),
    room: withRole('room')[0] ?? null,
  };
}

/** Its own name, where its role alone would not tell it from another station. */
export function ownName(stations: readonly StationState[], station: StationState): string | null {
  const alone = stations.filter((other) => other.role === station.role).length === 1;
  return alone ? null : station.id;
}

/** "the drying box"; with its own name where another station has the same role. */
export const nameIn = (stations: readonly StationState[], station: StationState): string =>
  place(station.role, ownName(stations, station));

/** The newest value of a key, unless the sensor reports a fault or the value is one that no sensor means. */
export function usable(station: StationState, key: string): number | null {
  if (key in station.faults || station.flagged.includes(key)) return null;
  return station.values[key] ?? null;
}

/** What a station is watched for: the water in its air, or the warmth of it. */
export function watchedKey(station: StationState): 'vapour' | 't' {
  const forWarmth = station.role === 'chamber' || station.role === 'electronics';
  return forWarmth || !('rh' in station.values || 'rh' in station.faults) ? 't' : 'vapour';
}
