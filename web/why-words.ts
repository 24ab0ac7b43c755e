/** What the data say about what was not known, as text: now beside before, or that nothing was learned. Pure. */
import type { Drying } from '../server/api/messages.ts';
import { fixed, range } from './format.ts';
import { WHY } from './words/why.ts';

export type Row = Drying['posterior'][number];

/** The one line that stands while the rest is folded away: what the answer leans on unseen. */
export function inShort(drying: Drying): string {
  const silent = drying.posterior.filter((row) => !learned(row)).map((row) => row.label);
  return drying.notes[0] ?? (silent.length > 0 ? WHY.silent(silent) : (drying.assumptions[0] ?? ''));
}

/** Three figures at most: what is known to a factor two has no fourth. */
export function figure(value: number): string {
  const size = Math.abs(value);
  return fixed(value, size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 1 : 2);
}

/** How much narrower the band has become, in whole per cent; of a factor, on the scale of factors. */
export function narrowedPercent(row: Row): number {
  const spread = ({ p05, p95 }: Row['now']): number => (isFactor(row) ? Math.log(p95 / p05) : p95 - p05);
  return Math.round(100 * (1 - spread(row.now) / spread(row.prior)));
}

/** Positive all over: drawn and compared by ratio. */
export const isFactor = (row: Row): boolean => row.prior.p05 > 0 && row.now.p05 > 0;

/** Narrowed by less than this, and moved by less than a fifth of its prior: nothing was learned. */
const LEAST_NARROWED_PERCENT = 5;

function learned(row: Row): boolean {
  const moved = Math.abs(row.now.p50 - row.prior.p50) > 0.2 * (row.prior.p95 - row.prior.p05);
  return moved || narrowedPercent(row) >= LEAST_NARROWED_PERCENT;
}

export function sayLearned(row: Row): string {
  const unit = row.unit === '×' ? '' : `\u00a0${row.unit}`;
  const factor = row.unit === '×' ? '×\u00a0' : '';
  const figures = (band: Row['now']): string =>
    band.p05 < 0 || band.p95 < 0 ? range(band.p05, band.p95, 1) : `${figure(band.p05)}–${figure(band.p95)}`;
  const now = WHY.now(`${factor}${figure(row.now.p50)}`, figures(row.now), unit);
  if (!learned(row)) return `${now}, ${WHY.unchanged}`;
  return `${now}, ${WHY.was(figure(row.prior.p50), figures(row.prior))}`;
}
