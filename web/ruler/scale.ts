/** A lane's upright axis: whole round steps, linear or logarithmic. Pure. */

export interface Tick {
  readonly at: number;
  readonly text: string;
}

export interface LaneScale {
  readonly kind: 'linear' | 'log';
  readonly low: number;
  readonly high: number;
  readonly ticks: readonly Tick[];
}

/** Distance from the top of a lane of the given height; values beyond the scale lie on its edge. */
export function toY(scale: LaneScale, heightPx: number, value: number): number {
  const place = scale.kind === 'log' ? Math.log : (x: number) => x;
  const inside = Math.min(scale.high, Math.max(scale.low, value));
  const share = (place(scale.high) - place(inside)) / (place(scale.high) - place(scale.low));
  return heightPx * share;
}

/** 1, 2 or 5 times a power of ten, so that about `wanted` steps fill the span. */
export function roundStep(span: number, wanted: number): number {
  const raw = span / wanted;
  const power = 10 ** Math.floor(Math.log10(raw));
  return ([1, 2, 5].find((multiple) => multiple * power >= raw * 0.999) ?? 10) * power;
}

const tickText = (value: number, step: number): string => {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return value.toFixed(decimals).replace('-', '\u2212');
};

/** Parts of half the span left free below and above; above, the newest value's words want room. */
const AIR_BELOW = 0.12;
const AIR_ABOVE = 0.28;

/**
 * Holds all values with some air about them, and at least `leastSpan`, so that noise does not fill the lane. The ends
 * lie on half steps: a new extreme seldom moves the scale.
 */
export function linearScale(
  values: { readonly low: number; readonly high: number } | null,
  leastSpan: number,
  floorAt = Number.NEGATIVE_INFINITY,
): LaneScale {
  const known = values ?? { low: Math.max(0, floorAt), high: Math.max(0, floorAt) + leastSpan };
  const middle = (known.low + known.high) / 2;
  const half = Math.max(known.high - known.low, leastSpan) / 2;
  const step = roundStep(2 * half, 5);
  const grid = step / 2;
  const low = Math.max(floorAt, Math.floor((middle - half * (1 + AIR_BELOW)) / grid) * grid);
  const high = Math.ceil((middle + half * (1 + AIR_ABOVE)) / grid) * grid;
  const ticks: Tick[] = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + step * 1e-9; n++)
    ticks.push({ at: n * step, text: tickText(n * step, step) });
  return { kind: 'linear', low, high, ticks };
}

/** Whole steps 1, 2, 5 of each decade, as .05 .1 .2 .5 1 2: no exponents, no leading zero. */
export function logScale(low: number, high: number): LaneScale {
  const ticks: Tick[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power++)
    for (const multiple of [1, 2, 5]) {
      const at = multiple * 10 ** power;
      if (at < low * 0.999 || at > high * 1.001) continue;
      ticks.push({ at, text: String(Number(at.toPrecision(3))).replace(/^0/, '') });
    }
  return { kind: 'log', low, high, ticks };
}
