/**
 * One filament cut into concentric rings, finite volumes, implicit in time. No modes, no series.
 *
 * Letters: x = r/a radius over the filament's, v ring's share of the cross-section, gamma = 2·x_f/(Δx·a²) face factor
 * 1/m² (face circumference over cross-section, over the distance of the centroids). Per unit of dry mass
 *   v_r·dM_r/dt = D·γ_r·(M_{r+1} − M_r) − D·γ_{r−1}·(M_r − M_{r−1}),   outermost: D·γ_s·(w_s − M_R).
 */
export interface RingGeometry {
  readonly count: number;
  readonly share: Float64Array;
  /** Inner faces 0…count−2, then the surface. */
  readonly faceFactor: Float64Array;
}

/** Rings get thinner towards the surface, where the gradients are: edges at x = 1 − (1 − i/n)^1.5. */
const GRADING = 1.5;

export function cutRings(count: number, filamentRadiusM: number): RingGeometry {
  const edge = (i: number): number => 1 - (1 - i / count) ** GRADING;
  const share = new Float64Array(count);
  const faceFactor = new Float64Array(count);
  const centroid = (i: number): number => {
    const from = edge(i);
    const to = edge(i + 1);
    return ((2 / 3) * (to ** 3 - from ** 3)) / (to ** 2 - from ** 2);
  };
  for (let i = 0; i < count; i++) {
    share[i] = edge(i + 1) ** 2 - edge(i) ** 2;
    const outwards = i + 1 < count ? centroid(i + 1) : 1;
    faceFactor[i] = (2 * edge(i + 1)) / ((outwards - centroid(i)) * filamentRadiusM ** 2);
  }
  return { count, share, faceFactor };
}

/** How D changes with content c (wt %): D(c)/D(0), a polynomial cheap enough for every ring of every step. */
export function plasticised(perWtPercent: number, c: number): number {
  const y = perWtPercent * c;
  return y >= 0 ? 1 + y + 0.5 * y * y : 1 / (1 - y);
}

/**
 * The implicit step in two halves around the unknown surface content w_s: `eliminate` runs from the axis outwards and
 * leaves M_R = (right + cS·w_s)/diagonal; once w_s is known, `substitute` runs back. Content leaves a filament at
 * rate0 − rate1·w_s = cS·(M_R − w_s), wt %/s. Works on many filaments (cells) kept one after another in `content`.
 */
export interface RingSolver {
  eliminate(content: Float64Array, cell: number, dryD: number, perWtPercent: number, dtS: number): void;
  substitute(content: Float64Array, cell: number, surfaceContent: number): void;
  /** By cell, of the last elimination. */
  readonly rate0: Float64Array;
  readonly rate1: Float64Array;
}

export function ringSolver(rings: RingGeometry, cells: number): RingSolver {
  const n = rings.count;
  const upper = new Float64Array(cells * n);
  const right = new Float64Array(cells * n);
  const diagonal = new Float64Array(cells * n);
  const rate0 = new Float64Array(cells);
  const rate1 = new Float64Array(cells);
  const { share, faceFactor } = rings;
  return {
    rate0,
    rate1,
    eliminate(content, cell, dryD, perWtPercent, dtS) {
      const offset = cell * n;
      let here = plasticised(perWtPercent, content[offset]!);
      let below = 0;
      let diagonalBelow = 1;
      let rightBelow = 0;
      for (let r = 0; r < n; r++) {
        const next = r + 1 < n ? plasticised(perWtPercent, content[offset + r + 1]!) : here;
        const above = dryD * 0.5 * (here + next) * faceFactor[r]!;
        const store = share[r]! / dtS;
        const factor = below / diagonalBelow;
        diagonalBelow = store + below + above - factor * below;
        rightBelow = store * content[offset + r]! + factor * rightBelow;
        diagonal[offset + r] = diagonalBelow;
        right[offset + r] = rightBelow;
        upper[offset + r] = above;
        below = above;
        here = next;
      }
      rate0[cell] = (below * rightBelow) / diagonalBelow;
      rate1[cell] = below * (1 - below / diagonalBelow);
    },
    substitute(content, cell, surfaceContent) {
      let value = surfaceContent;
      for (let i = (cell + 1) * n - 1; i >= cell * n; i--) {
        value = (right[i]! + upper[i]! * value) / diagonal[i]!;
        content[i] = value;
      }
    },
  };
}

/** Mean over the section, wt %. */
export function sectionMean(rings: RingGeometry, content: Float64Array, cell: number): number {
  let mean = 0;
  for (let r = 0; r < rings.count; r++) mean += rings.share[r]! * content[cell * rings.count + r]!;
  return mean;
}
