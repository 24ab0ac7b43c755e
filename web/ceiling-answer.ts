/**
 * What is too hot, or is about to be, as an answer or as a sentence beneath one. Pure. A station that is quiet claims
 * nothing; one with no list of what stands inside says so in its row, not here.
 */
import type { StationState } from '../server/api/messages.ts';
import type { ChamberState } from '../server/api/messages-chamber.ts';
import type { Bench } from './bench-model.ts';
import { airNow } from './chamber-answer.ts';
import { type Format, fixed, withUnit } from './format.ts';
import type { Piece } from './pieces.ts';
import { nameIn } from './stations.ts';
import { CEILING } from './words/chamber.ts';

export interface CeilingAnswer {
  readonly station: StationState;
  readonly say: readonly Piece[];
  readonly tell: readonly Piece[];
}

export interface CeilingFacts {
  readonly stations: readonly StationState[];
  readonly chambers: readonly ChamberState[];
  readonly nowMs: number;
  readonly format: Format;
}

export const ceilingText = (celsius: number, format: Format): string =>
  withUnit(fixed(format.shownTemperature(celsius), 0), format.temperatureUnit);

/** The first station that has passed its ceiling; null where none has. */
export function ceilingPassed({ stations, format }: CeilingFacts): CeilingAnswer | null {
  for (const station of stations) {
    const { ceiling } = station;
    const air = airNow(station, format);
    if (station.quiet || ceiling?.outcome !== 'passed' || ceiling.ceilingC === null || air === null) continue;
    return {
      station,
      say: [CEILING.passed(nameIn(stations, station), ceilingText(ceiling.ceilingC, format))],
      tell: [CEILING.passedTell(ceiling.whose, air)],
    };
  }
  return null;
}

/** The first whose likeliest path passes it. */
export function ceilingAhead({ stations, chambers, nowMs, format }: CeilingFacts): CeilingAnswer | null {
  for (const station of stations) {
    const { ceiling } = station;
    const air = airNow(station, format);
    if (station.quiet || !ceiling || ceiling.outcome === 'passed' || air === null) continue;
    if (ceiling.ceilingC === null || ceiling.crossesAtMs === null || ceiling.crossesAtMs < nowMs) continue;
    const final = chambers.find((chamber) => chamber.station === station.id)?.finalAirC ?? null;
    const tooHighC = final === null ? 0 : final.p95 - ceiling.ceilingC;
    return {
      station,
      say: [CEILING.ahead(nameIn(stations, station), format.about(ceiling.crossesAtMs, nowMs))],
      tell: [
        CEILING.aheadTell(ceilingText(ceiling.ceilingC, format), ceiling.whose, air),
        ...(tooHighC > 0 ? [CEILING.lower(format.temperatureStep(Math.ceil(tooHighC), 0))] : []),
      ],
    };
  }
  return null;
}

/** Near it, or perhaps so: told beneath an answer, unless an alarm tells it already. */
export function ceilingNear({ stations, alerts }: Bench, format: Format): readonly string[] {
  return stations.flatMap((station) => {
    const { ceiling } = station;
    if (station.quiet || !ceiling || ceiling.ceilingC === null) return [];
    // A drying box is kept close to what its filament bears, on purpose.
    if (station.role !== 'chamber' && station.role !== 'electronics') return [];
    const told = alerts.some(
      ({ station: at, rule, state }) =>
        at === station.id && CEILING_RULES.has(rule) && (state === 'active' || state === 'acknowledged'),
    );
    if (told) return [];
    const say =
      ceiling.outcome === 'near'
        ? CEILING.isNear
        : ceiling.outcome === 'near-ahead'
          ? CEILING.mayComeNear
          : null;
    return say ? [say(nameIn(stations, station), ceilingText(ceiling.ceilingC, format), ceiling.whose)] : [];
  });
}

const CEILING_RULES: ReadonlySet<string> = new Set(['ceiling-near', 'ceiling-passed']);
