/** A spool and its estimate in wire shape. */
import type { Drying, SpoolState } from './api/messages.ts';
import type { SpoolView } from './desks/spool-desk.ts';
import type { DryingEstimate } from './estimators/drying/tracker.ts';

export function wireSpool({ spool, taken, setup, estimate }: SpoolView): SpoolState {
  return {
    id: spool.id,
    station: spool.station,
    materialKey: spool.material,
    materialName: setup.material.name,
    netMassG: spool.netMassG,
    takenG: taken.g,
    diameterMm: spool.diameterMm,
    reel: spool.reel,
    limitWtPercent: setup.limitWtPercent,
    limitKind: spool.limitWtPercent === null ? 'printing' : 'own',
    drying: estimate && wireDrying(estimate),
  };
}

function wireDrying(estimate: DryingEstimate): Drying {
  return {
    atMs: estimate.atMs,
    state: estimate.state,
    moistureWtPercent: estimate.moistureWtPercent,
    wettestTurnWtPercent: estimate.wettestTurnWtPercent,
    readyOuterG: estimate.readyOuterG,
    dryAtMs: estimate.dryAtMs,
    dryAtReason: estimate.dryAtReason,
    dryThroughAtMs: estimate.dryThroughAtMs,
    dryThroughAtReason: estimate.dryThroughAtReason,
    floorWtPercent: estimate.floorWtPercent,
    pDry: estimate.pDry,
    pNever: estimate.pNever,
    dryCalledMs: estimate.dryCalledMs,
    runStartMs: estimate.runStartMs,
    fittedMs: estimate.fittedMs,
    profileWtPercent: [...estimate.profileWtPercent],
    forecast: [...estimate.forecast],
    posterior: [...estimate.posterior],
    assumptions: [...estimate.assumptions],
    sharpen: [...estimate.sharpen],
    notes: [...estimate.notes],
  };
}
