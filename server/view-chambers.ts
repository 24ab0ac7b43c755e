/** A chamber's soak and a station's ceiling in wire shape. */
import type { Ceiling, ChamberState } from './api/messages-chamber.ts';
import type { StationConfig } from './config/bench.ts';
import type { CeilingView } from './desks/station-ceilings.ts';
import type { SoakEstimate } from './estimators/soak/estimate.ts';

export function wireChamber(estimate: SoakEstimate, station: StationConfig): ChamberState {
  return {
    station: estimate.station,
    atMs: estimate.atMs,
    state: estimate.state,
    airC: estimate.airC,
    readyBandC: station.readyBandC,
    readyDriftCPer10Min: station.readyDriftCPer10Min,
    finalAirC: estimate.finalAirC,
    steadyAtMs: estimate.steadyAtMs,
    steadyAtReason: estimate.steadyAtReason,
    driftCPer10Min: estimate.driftCPer10Min,
    frameLagC: estimate.frameLagC,
    frameC: estimate.frameC,
    pSteady: estimate.pSteady,
    pFrameSoaked: estimate.pFrameSoaked,
    steadySinceMs: estimate.steadySinceMs,
    heatOnMs: estimate.heatOnMs,
    openAtMs: estimate.openAtMs,
    openAtReason: estimate.openAtReason,
    fittedMs: estimate.fittedMs,
    forecast: [...estimate.forecast],
    posterior: [...estimate.posterior],
    assumptions: [...estimate.assumptions],
    notes: [...estimate.notes],
  };
}

export function wireCeiling({ station: _, hotter, ...ceiling }: CeilingView): Ceiling {
  return { ...ceiling, hotter: hotter && { ...hotter } };
}
