/** An invented spool of nylon that dries on the invented morning: each quantile falls to its own floor by one rate. */
import type { Drying, Quantiles, SpoolState } from '../../server/api/messages.ts';
import type { History } from './bench-double.ts';
import { MORNING, NOW_MS } from './invented-bench.ts';

const HOUR = 3_600_000;
export const LIMIT_WT_PERCENT = 0.2;

/** Clock times of the invented Wednesday, in the tests' zone. */
export const clockMs = (hour: number, minute: number): number => Date.UTC(2026, 2, 4, hour - 1, minute);

export const quantiles = (p05: number, p50: number, p95: number): Quantiles => ({ p05, p50, p95 });

const MOISTURE = quantiles(0.28, 0.34, 0.41);
const FLOOR = quantiles(0.08, 0.1, 0.13);
const DRY_AT = quantiles(clockMs(14, 50), clockMs(16, 40), clockMs(19, 50));
const START_MS = clockMs(4, 10);

/**
 * w(t) = w∞ + (w0 − w∞)·e^(−k·t), with k such that w meets the limit at the given time: k = ln((w0 − w∞)/(wL − w∞))/t.
 */
function fallsTo(key: keyof Quantiles, atMs: number): number {
  const above = MOISTURE[key] - FLOOR[key];
  const perMs = Math.log(above / (LIMIT_WT_PERCENT - FLOOR[key])) / (DRY_AT[key] - NOW_MS);
  return FLOOR[key] + above * Math.exp(-perMs * (atMs - NOW_MS));
}

const at = (atMs: number): Quantiles =>
  quantiles(fallsTo('p05', atMs), fallsTo('p50', atMs), fallsTo('p95', atMs));

/** Hub wet, outside nearly dry. */
const PROFILE = [0.47, 0.45, 0.4, 0.34, 0.27, 0.18].map((w) => quantiles(0.82 * w, w, 1.2 * w));

export const dryingOf = (parts: Partial<Drying> = {}): Drying => ({
  atMs: NOW_MS,
  state: 'drying',
  moistureWtPercent: MOISTURE,
  wettestTurnWtPercent: quantiles(0.39, 0.48, 0.58),
  readyOuterG: quantiles(24, 62, 113),
  dryAtMs: DRY_AT,
  dryAtReason: {},
  dryThroughAtMs: quantiles(clockMs(16, 0), clockMs(18, 30), clockMs(22, 20)),
  dryThroughAtReason: {},
  floorWtPercent: FLOOR,
  pDry: 0,
  pNever: 0,
  dryCalledMs: null,
  runStartMs: START_MS,
  fittedMs: NOW_MS - 240_000,
  profileWtPercent: PROFILE,
  forecast: Array.from({ length: 97 }, (_, index) => {
    const aheadMs = NOW_MS - 240_000 + index * (HOUR / 4);
    return { atMs: aheadMs, ...at(aheadMs) };
  }),
  posterior: [
    {
      unknown: 'rh-offset',
      label: 'offset of the box humidity sensor',
      unit: '%RH',
      prior: quantiles(-2.5, 0, 2.5),
      now: quantiles(0.3, 0.6, 0.9),
    },
    {
      unknown: 'vent',
      label: 'air exchanged',
      unit: 'L/min',
      prior: quantiles(0.53, 2, 7.5),
      now: quantiles(1.7, 2.6, 3.9),
    },
    {
      unknown: 'isotherm',
      label: 'water held against the table',
      unit: '×',
      prior: quantiles(0.72, 1, 1.39),
      now: quantiles(0.73, 1, 1.38),
    },
  ],
  assumptions: ['It was stored at 30 ± 9 %RH (23 °C).', '940 g of filament, to 3 %.'],
  sharpen: ['Weigh it now and again later: the loss of mass tells water directly.'],
  notes: [],
  ...parts,
});

export const spoolOf = (parts: Partial<SpoolState> = {}): SpoolState => ({
  id: 'gear',
  station: 'box',
  materialKey: 'pa6',
  materialName: 'Polyamide 6',
  netMassG: 940,
  takenG: 0,
  diameterMm: 1.75,
  reel: 'plastic',
  limitWtPercent: LIMIT_WT_PERCENT,
  limitKind: 'printing',
  drying: dryingOf(),
  ...parts,
});

/** A later state of the same kind: profile about a mean, and a forecast that nears a level with 5 h to e^−1. */
export const levelOf = (mean: Quantiles, level: Quantiles): Partial<Drying> => ({
  moistureWtPercent: mean,
  profileWtPercent: [1.18, 1.14, 1.06, 0.98, 0.9, 0.8].map((share) =>
    quantiles(share * mean.p05, share * mean.p50, share * mean.p95),
  ),
  forecast: Array.from({ length: 49 }, (_, index) => {
    const left = Math.exp(-index / 10);
    const near = (key: keyof Quantiles): number => level[key] + (mean[key] - level[key]) * left;
    return { atMs: NOW_MS + (index * HOUR) / 2, p05: near('p05'), p50: near('p50'), p95: near('p95') };
  }),
});

const NO_TIMES = { p05: null, p50: null, p95: null };

export const NEVER: Partial<Drying> = {
  moistureWtPercent: quantiles(0.35, 0.42, 0.5),
  floorWtPercent: quantiles(0.21, 0.24, 0.29),
  readyOuterG: quantiles(0, 0, 0),
  dryAtMs: NO_TIMES,
  dryAtReason: { p05: 'never', p50: 'never', p95: 'never' },
  pNever: 0.97,
  notes: ['Never in this air: a drier room, desiccated air or a hotter box would help.'],
};

export const CALLED_DRY: Partial<Drying> = {
  ...levelOf(quantiles(0.11, 0.15, 0.19), FLOOR),
  state: 'dry',
  wettestTurnWtPercent: quantiles(0.13, 0.18, 0.23),
  readyOuterG: quantiles(935, 940, 940),
  pDry: 0.97,
  dryCalledMs: clockMs(11, 20),
};

/** The estimates of the morning, as history kept them each ten minutes; all else as on the bench without a spool. */
export const SPOOL_MORNING: History = (station, key, atMs) => {
  const figure = key.match(/^gear\.moisture_(p05|p50|p95)$/)?.[1] as keyof Quantiles | undefined;
  if (figure === undefined) return MORNING(station, key, atMs);
  if (station !== 'box' || atMs < START_MS + 600_000 || atMs % 600_000 > 150_000) return null;
  return Math.min(1.9, fallsTo(figure, atMs));
};
