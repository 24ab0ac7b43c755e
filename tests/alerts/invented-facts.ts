/** Facts of an invented bench for tests of alarms: a box and a room on one board, a chamber on another, one spool. */
import { type Facts, known, type SpoolFacts, type StationFacts } from '../../server/alerts/facts.ts';
import type { Role } from '../../server/records.ts';

export const START_MS = Date.UTC(2026, 10, 25, 20, 0, 0);

export function inventStation(id: string, role: Role, more: Partial<StationFacts> = {}): StationFacts {
  return {
    id,
    role,
    source: 'usb',
    everHeard: true,
    heardMs: START_MS,
    quiet: false,
    faultyKeys: known([]),
    airC: known(22),
    hourMedianC: known(22),
    coolingSinceMs: null,
    opening: known(null),
    dewPointC: known({ lowC: 8, highC: 9 }),
    coldestSurfaceC: null,
    ceiling: null,
    soak: null,
    ...more,
  };
}

export function inventSpool(
  id: string,
  station: string,
  drying: object = {},
  more: Partial<SpoolFacts> = {},
) {
  return {
    id,
    station,
    outSinceMs: null,
    drying: known({
      state: 'drying' as const,
      run: 'r1',
      limitWtPercent: 0.2,
      moistureWtPercent: { p05: 0.28, p50: 0.34, p95: 0.41 },
      wettestTurnWtPercent: { p05: 0.3, p50: 0.5, p95: 0.7 },
      readyOuterG: { p05: 100, p50: 180, p95: 260 },
      netMassG: 900,
      floorWtPercent: { p05: 0.05, p50: 0.08, p95: 0.12 },
      pDry: 0.1,
      pNever: 0.02,
      dryCalledMs: null,
      ...drying,
    }),
    ...more,
  } satisfies SpoolFacts;
}

export const inventFacts = (more: Partial<Facts> = {}): Facts => ({
  stations: [],
  spools: [],
  jobs: [],
  program: { clockStep: null, storageTrouble: null },
  ...more,
});
