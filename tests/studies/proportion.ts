/**
 * How sure a counted share, or a median, is: intervals of 95 %.
 *
 * Share: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209. Median: order statistics by the binomial's normal approximation
 * (any text on distribution-free statistics).
 */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

const Z = 1.959964;

export function wilson(count: number, of: number): Interval {
  if (of === 0) return { low: 0, high: 1 };
  const p = count / of;
  const scale = 1 / (1 + (Z * Z) / of);
  const middle = scale * (p + (Z * Z) / (2 * of));
  const half = scale * Z * Math.sqrt((p * (1 - p)) / of + (Z * Z) / (4 * of * of));
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/** NaN where there is nothing to take it of. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  if (n === 0) return Number.NaN;
  return n % 2 === 1 ? sorted[(n - 1) / 2]! : 0.5 * (sorted[n / 2 - 1]! + sorted[n / 2]!);
}

export function medianInterval(values: readonly number[]): Interval {
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  if (n === 0) return { low: Number.NaN, high: Number.NaN };
  const half = 0.5 * Z * Math.sqrt(n);
  const low = Math.max(0, Math.floor(0.5 * n - half));
  const high = Math.min(n - 1, Math.ceil(0.5 * n + half) - 1);
  return { low: sorted[low]!, high: sorted[Math.max(low, high)]! };
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

export function sayShare(count: number, of: number): string {
  const { low, high } = wilson(count, of);
  return of === 0
    ? 'none'
    : `${count} of ${of}, ${percent(count / of)} (${percent(low)} to ${percent(high)})`;
}

export function sayMedian(values: readonly number[], digits: number, unit: string): string {
  const { low, high } = medianInterval(values);
  return `${median(values).toFixed(digits)} ${unit} (${low.toFixed(digits)} to ${high.toFixed(digits)}), n = ${values.length}`;
}
