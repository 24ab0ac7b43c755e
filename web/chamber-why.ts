/** Why a chamber is called steady, or not yet, in sentences. Pure. */
import type { ChamberState } from '../server/api/messages-chamber.ts';
import { type Format, withUnit } from './format.ts';
import { CHAMBER_WHY } from './words/why.ts';

export interface ChamberWhy {
  /** The one line that stands while the rest is folded away. */
  readonly short: string;
  readonly near: readonly string[];
  /** In place of what was learned, where nothing was. */
  readonly none: string;
}

export function chamberWhy(chamber: ChamberState, format: Format): ChamberWhy {
  const { finalAirC: final, driftCPer10Min: drift, frameLagC: lag, heatOnMs, notes, assumptions } = chamber;
  const none = heatOnMs === null ? CHAMBER_WHY.notHeated : CHAMBER_WHY.noData;
  const ends =
    final &&
    CHAMBER_WHY.ends(
      withUnit(format.temperature(final.p50), format.temperatureUnit),
      format.temperatureRange(final.p05, final.p95),
    );
  const steadies = chamber.state !== 'cooling';
  const band = format.temperatureStep(chamber.readyBandC);
  return {
    short: notes[0] ?? ends ?? assumptions[0] ?? none,
    none,
    near: [
      ...(ends ? [ends] : []),
      ...(final && steadies ? [CHAMBER_WHY.chance(Math.round(10 * chamber.pSteady), band)] : []),
      ...(drift === null || !final
        ? []
        : [
            CHAMBER_WHY.drift(
              format.temperatureStep(drift, 2),
              steadies ? format.temperatureStep(chamber.readyDriftCPer10Min) : null,
            ),
          ]),
      ...(lag === null
        ? []
        : [
            CHAMBER_WHY.frame(
              format.temperatureStep(lag.p50),
              format.temperatureStep(lag.p05),
              format.temperatureStep(lag.p95),
            ),
          ]),
    ],
  };
}
