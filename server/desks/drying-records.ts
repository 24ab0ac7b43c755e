/** A drying estimate as history's samples and as a replay's record, in wall time. */
import type { DryingEstimate } from '../estimators/drying/tracker.ts';
import type { DryingRecord, Sample, TimeBand } from '../records.ts';

/** Series of a spool's estimates in history, beside its station's own keys: `gear.moisture_p50`. */
export function estimateSamples(estimate: DryingEstimate): readonly Sample[] {
  const {
    moistureWtPercent: w,
    wettestTurnWtPercent: wet,
    readyOuterG: ready,
    floorWtPercent: floor,
  } = estimate;
  const values: [string, number | undefined][] = [
    ['moisture_p05', w.p05],
    ['moisture_p50', w.p50],
    ['moisture_p95', w.p95],
    ['wettest_p50', wet.p50],
    ['wettest_p95', wet.p95],
    ['ready_g_p05', ready.p05],
    ['ready_g_p50', ready.p50],
    ['floor_p50', floor?.p50],
    ['p_dry', estimate.pDry],
  ];
  return values.flatMap(([key, value]) =>
    value === undefined
      ? []
      : [
          {
            station: estimate.station,
            key: `${estimate.spool}.${key}`,
            atMs: Math.round(estimate.atMs),
            value,
            flagged: false,
          },
        ],
  );
}

/** Steady time to the wall's, where the clock was set since. */
export function shifted(estimate: DryingEstimate, shiftMs: number): DryingEstimate {
  if (shiftMs === 0) return estimate;
  const move = (ms: number | null): number | null => (ms === null ? null : ms + shiftMs);
  const times = (band: DryingEstimate['dryAtMs']) => ({
    p05: move(band.p05),
    p50: move(band.p50),
    p95: move(band.p95),
  });
  return {
    ...estimate,
    atMs: estimate.atMs + shiftMs,
    dryAtMs: times(estimate.dryAtMs),
    dryThroughAtMs: times(estimate.dryThroughAtMs),
    dryCalledMs: move(estimate.dryCalledMs),
    runStartMs: move(estimate.runStartMs),
    fittedMs: estimate.fittedMs + shiftMs,
    forecast: estimate.forecast.map((point) => ({ ...point, atMs: point.atMs + shiftMs })),
  };
}

export function toRecord(estimate: DryingEstimate, wallMs: number): DryingRecord {
  const at = (ms: number | null): string | null =>
    ms === null ? null : new Date(Math.round(ms)).toISOString();
  const times = (band: DryingEstimate['dryAtMs']): TimeBand => ({
    p05: at(band.p05),
    p50: at(band.p50),
    p95: at(band.p95),
  });
  return {
    at: new Date(wallMs).toISOString(),
    kind: 'drying',
    station: estimate.station,
    spool: estimate.spool,
    state: estimate.state,
    limitWtPercent: estimate.limitWtPercent,
    moistureWtPercent: estimate.moistureWtPercent,
    wettestTurnWtPercent: estimate.wettestTurnWtPercent,
    readyOuterG: estimate.readyOuterG,
    dryAt: times(estimate.dryAtMs),
    dryAtReason: estimate.dryAtReason,
    dryThroughAt: times(estimate.dryThroughAtMs),
    dryThroughAtReason: estimate.dryThroughAtReason,
    floorWtPercent: estimate.floorWtPercent,
    pDry: estimate.pDry,
    pNever: estimate.pNever,
  };
}
