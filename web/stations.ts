/** Which stations the page speaks of, and by what name. Pure. */
import type { Role, SpoolState, StationState } from '../server/api/messages.ts';
import type { JobState } from '../server/api/messages-jobs.ts';
import { place } from './words/ground.ts';

export const isBox = (station: StationState): boolean =>
  station.role === 'drybox' || station.role === 'storage';

export interface Chosen {
  readonly boxId: string | null;
  readonly chamberId: string | null;
  readonly spoolId?: string | null;
}

export interface Cast {
  readonly box: StationState | null;
  readonly chamber: StationState | null;
  readonly room: StationState | null;
}

/**
 * The pair on the plate: those chosen by hand while they exist, else the first of their kind; boxes with a spool first,
 * then heated ones.
 */
export function castOf(
  stations: readonly StationState[],
  chosen: Chosen,
  spools: readonly SpoolState[] = [],
): Cast {
  const holdsSpool = (station: StationState): boolean => spools.some((spool) => spool.station === station.id);
  const pick = (id: string | null, among: readonly StationState[]): StationState | null =>
    among.find((station) => station.id === id) ?? among[0] ?? null;
  const withRole = (role: Role): StationState[] => stations.filter((station) => station.role === role);
  return {
    box: pick(
      chosen.boxId,
      [...withRole('drybox'), ...withRole('storage')].sort(
        (a, b) => Number(holdsSpool(b)) - Number(holdsSpool(a)),
      ),
    ),
    chamber: pick(chosen.chamberId, withRole('chamber')),
    room: withRole('room')[0] ?? null,
  };
}

/** The spool on the plate: one in the chosen box, else one in the chamber; the one chosen by hand where there are more. */
export function spoolOf(spools: readonly SpoolState[], cast: Cast, chosen: Chosen): SpoolState | null {
  for (const station of [cast.box, cast.chamber]) {
    const inside = spools.filter((spool) => spool.station === station?.id);
    if (inside[0]) return inside.find((spool) => spool.id === chosen.spoolId) ?? inside[0];
  }
  return null;
}

/** The job that goes on with the spool or in the chamber on the plate; one that has ended is nobody's any more. */
export const jobOf = (jobs: readonly JobState[], cast: Cast, spool: SpoolState | null): JobState | null =>
  jobs.find(
    (job) =>
      job.state !== 'ended' &&
      (job.spool === spool?.id || (job.chamber !== null && job.chamber === cast.chamber?.id)),
  ) ?? null;

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
