/** A chamber's soak estimate as history's samples and as a replay's record, in wall time. */
import type { SoakEstimate, SoakTimesMs } from '../estimators/soak/estimate.ts';
import type { Sample, SoakRecord, TimeBand } from '../records.ts';

/** Series of a chamber's estimates in history, beside its station's own keys. */
export function soakSamples(estimate: SoakEstimate): readonly Sample[] {
  const { finalAirC, frameLagC, station } = estimate;
  const values: [string, number | undefined | null][] = [
    ['soak.final_p05', finalAirC?.p05],
    ['soak.final_p50', finalAirC?.p50],
    ['soak.final_p95', finalAirC?.p95],
    ['soak.frame', estimate.frameC],
    ['soak.frame_lag', frameLagC?.p50],
    ['soak.drift', estimate.driftCPer10Min],
    ['soak.p_steady', finalAirC ? estimate.pSteady : null],
  ];
  return values.flatMap(([key, value]) =>
    value === undefined || value === null
      ? []
      : [{ station, key, atMs: Math.round(estimate.fittedMs ?? estimate.atMs), value, flagged: false }],
  );
}

/** Steady time to the wall's, where the clock was set since. */
export function shiftedSoak(estimate: SoakEstimate, shiftMs: number): SoakEstimate {
  if (shiftMs === 0) return estimate;
  const move = (ms: number | null): number | null => (ms === null ? null : ms + shiftMs);
  const times = (band: SoakTimesMs): SoakTimesMs => ({
    p05: move(band.p05),
    p50: move(band.p50),
    p95: move(band.p95),
  });
  return {
    ...estimate,
    atMs: estimate.atMs + shiftMs,
    steadyAtMs: times(estimate.steadyAtMs),
    steadySinceMs: move(estimate.steadySinceMs),
    heatOnMs: move(estimate.heatOnMs),
    openAtMs: times(estimate.openAtMs),
    fittedMs: move(estimate.fittedMs),
    forecast: estimate.forecast.map((point) => ({ ...point, atMs: point.atMs + shiftMs })),
  };
}

export function soakRecord(estimate: SoakEstimate, wallMs: number): SoakRecord {
  const at = (ms: number | null): string | null =>
    ms === null ? null : new Date(Math.round(ms)).toISOString();
  const times = (band: SoakTimesMs): TimeBand => ({
    p05: at(band.p05),
    p50: at(band.p50),
    p95: at(band.p95),
  });
  return {
    at: new Date(wallMs).toISOString(),
    kind: 'soak',
    station: estimate.station,
    state: estimate.state,
    finalAirC: estimate.finalAirC,
    steadyAt: times(estimate.steadyAtMs),
    steadyAtReason: estimate.steadyAtReason,
    driftCPer10Min: estimate.driftCPer10Min,
    frameLagC: estimate.frameLagC,
    pSteady: estimate.pSteady,
    openAt: times(estimate.openAtMs),
    openAtReason: estimate.openAtReason,
  };
}
