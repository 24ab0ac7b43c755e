/** An invented chamber that has been heated since 10:25 of the invented morning, and a job in it. */
import type { Ceiling, ChamberState } from '../../server/api/messages-chamber.ts';
import type { JobState } from '../../server/api/messages-jobs.ts';
import type { History } from './bench-double.ts';
import { MORNING, NOW_MS, RIG } from './invented-bench.ts';
import { clockMs, quantiles, SPOOL_MORNING } from './invented-spool.ts';

const HOUR = 3_600_000;
const HEAT_ON_MS = clockMs(10, 25);
export const FINAL_C = quantiles(55.9, 57.4, 58.8);

/** What the air nears: fast by the bed with 12 min to e^−1, slowly by the frame with 85. */
const airAt = (key: keyof typeof FINAL_C, atMs: number): number => {
  const heatedMin = (atMs - HEAT_ON_MS) / 60_000;
  const median = 57.4 - 18.6 * Math.exp(-heatedMin / 12) - 16.4 * Math.exp(-heatedMin / 85);
  const opened = 1 - Math.exp(-(atMs - NOW_MS) / (70 * 60_000));
  return median + (FINAL_C[key] - FINAL_C.p50) * opened;
};

export const chamberOf = (parts: Partial<ChamberState> = {}): ChamberState => ({
  station: 'rig',
  atMs: NOW_MS,
  state: 'climbing',
  airC: 52.8,
  readyBandC: 1,
  readyDriftCPer10Min: 0.5,
  finalAirC: FINAL_C,
  steadyAtMs: quantiles(clockMs(13, 50), clockMs(14, 25), clockMs(14, 55)),
  steadyAtReason: {},
  driftCPer10Min: 0.8,
  frameLagC: quantiles(7, 9.5, 12),
  frameC: 44.1,
  pSteady: 0.04,
  pFrameSoaked: 0,
  steadySinceMs: null,
  heatOnMs: HEAT_ON_MS,
  openAtMs: NO_TIMES,
  openAtReason: NO_RUN,
  fittedMs: NOW_MS - 60_000,
  forecast: Array.from({ length: 33 }, (_, index) => {
    const atMs = NOW_MS - 60_000 + index * (HOUR / 4);
    const later = Math.max(NOW_MS, atMs);
    return { atMs, p05: airAt('p05', later), p50: airAt('p50', later), p95: airAt('p95', later) };
  }),
  posterior: [
    {
      unknown: 'wall-time',
      label: 'time of the walls',
      unit: 'min',
      prior: quantiles(6.9, 13.3, 25.7),
      now: quantiles(9.6, 12.1, 15.2),
    },
    {
      unknown: 'leak',
      label: 'leak to the room, against the walls',
      unit: '×',
      prior: quantiles(0.019, 0.05, 0.134),
      now: quantiles(0.018, 0.049, 0.131),
    },
  ],
  assumptions: ['Bed, fan, vent and room are taken to stay as they are now.'],
  notes: [],
  ...parts,
});

export const NO_TIMES = { p05: null, p50: null, p95: null };
export const NO_RUN = { p05: 'no-run', p50: 'no-run', p95: 'no-run' } as const;

export const STEADY: Partial<ChamberState> = {
  state: 'steady',
  airC: 57.2,
  steadyAtMs: quantiles(clockMs(11, 55), clockMs(11, 55), clockMs(11, 55)),
  steadySinceMs: clockMs(11, 55),
  pSteady: 0.97,
  finalAirC: quantiles(56.9, 57.4, 57.9),
};

/** Nothing heats it, and nothing did. */
export const COLD: Partial<ChamberState> = {
  state: 'cold',
  airC: 22.4,
  finalAirC: null,
  steadyAtMs: NO_TIMES,
  steadyAtReason: NO_RUN,
  driftCPer10Min: null,
  frameLagC: null,
  frameC: null,
  heatOnMs: null,
  fittedMs: null,
  forecast: [],
  posterior: [],
};

export const COOLING: Partial<ChamberState> = {
  state: 'cooling',
  finalAirC: quantiles(23, 24, 26),
  steadyAtMs: NO_TIMES,
  steadyAtReason: NO_RUN,
  openAtMs: quantiles(clockMs(12, 45), clockMs(12, 55), clockMs(13, 5)),
  openAtReason: {},
  forecast: Array.from({ length: 25 }, (_, index) => {
    const left = Math.exp(-index / 8);
    return {
      atMs: NOW_MS + index * 300_000,
      p05: 23 + 29 * left,
      p50: 24 + 28.8 * left,
      p95: 26 + 27.6 * left,
    };
  }),
};

export const ceilingOf = (parts: Partial<Ceiling> = {}): Ceiling => ({
  outcome: 'clear',
  ceilingC: 65,
  whose: 'PETG part',
  reason: 'below the ceiling of PETG part (65 °C: softens from about 70 °C)',
  crossesAtMs: null,
  hotter: null,
  ...parts,
});

/** The chamber's station with so much warmth, and what must not get too hot in it. */
export const rigAt = (celsius: number, ceiling: Partial<Ceiling> = {}): typeof RIG => ({
  ...RIG,
  values: { ...RIG.values, t: celsius },
  ceiling: ceilingOf(ceiling),
});

/** Hinge brackets, two hours and a half into seven. */
export const jobOf = (parts: Partial<JobState> = {}): JobState => ({
  id: 'hinge-1',
  name: 'hinge brackets',
  spool: 'gear',
  chamber: 'rig',
  grams: 180,
  hours: 7,
  chamberC: 57,
  exitOpen: false,
  settings: {},
  state: 'running',
  startedMs: NOW_MS - 2.5 * HOUR,
  endedMs: null,
  atMs: NOW_MS,
  printedMs: 2.5 * HOUR,
  fedG: 64,
  takenBeforeG: 0,
  referenceC: 57,
  bandC: 3,
  limitWtPercent: 0.2,
  pSpoolAtStart: 0.94,
  fedWtPercent: quantiles(0.1, 0.13, 0.17),
  excursions: [],
  measures: { chamberC: { mean: 57.1, sd: 0.4, min: 56.4, max: 58.4 } },
  outcome: null,
  note: '',
  ...parts,
});

type Excursion = JobState['excursions'][number];
export const excursion = (parts: Partial<Excursion> & Pick<Excursion, 'kind'>): Excursion => ({
  station: 'rig',
  fromMs: clockMs(11, 5),
  toMs: clockMs(11, 19),
  worst: 51.4,
  limit: 57,
  unit: '°C',
  ...parts,
});

/** The morning with the chamber's estimates each four minutes: its frame, and where it was thought to end. */
export const CHAMBER_MORNING: History = (station, key, atMs) => {
  if (station !== 'rig' || !key.startsWith('soak.')) return SPOOL_MORNING(station, key, atMs);
  const heatedMin = (atMs - HEAT_ON_MS) / 60_000;
  if (heatedMin < 16 || atMs % 240_000 > 60_000) return null;
  const lag = 31 * Math.exp(-heatedMin / 90);
  if (key === 'soak.frame') return 53.6 - lag;
  if (key === 'soak.frame_lag') return lag;
  const doubt = 12 * Math.exp(-heatedMin / 50);
  if (key === 'soak.final_p50') return FINAL_C.p50;
  if (key === 'soak.final_p05') return FINAL_C.p05 - doubt;
  if (key === 'soak.final_p95') return FINAL_C.p95 + doubt;
  return null;
};

/** The job's chamber: held, but for a door at 11:05. */
export const JOB_MORNING: History = (station, key, atMs) => {
  if (station !== 'rig' || key !== 't') return CHAMBER_MORNING(station, key, atMs);
  const sinceMin = (atMs - clockMs(11, 5)) / 60_000;
  const tremble = (MORNING('rig', 't', atMs) ?? 0) - airAt('p50', atMs);
  const dip = sinceMin < 0 ? 0 : sinceMin < 4 ? (5.6 * sinceMin) / 4 : 5.6 * Math.exp(-(sinceMin - 4) / 7);
  return 57 - dip + Math.max(-0.3, Math.min(0.3, tremble));
};
