/**
 * A network of heat nodes: dC·T/dt = ΣG·(T_j − T_i) + P, implicit in time, dense elimination (a dozen nodes at most).
 * A node without heat capacity (Infinity) is held: a room, an air mass outside.
 */
export interface HeatNetwork {
  readonly temperatureC: Float64Array;
  /** Conductances may change between steps; symmetric by construction. */
  join(i: number, j: number, conductanceWPerK: number): void;
  /** Power into each node, W. */
  readonly powerW: Float64Array;
  /** Nodes held at their temperature in this step. */
  readonly held: Uint8Array;
  step(dtS: number): void;
}

export function heatNetwork(heatJPerK: readonly number[], startC: readonly number[]): HeatNetwork {
  const n = heatJPerK.length;
  const conductance = new Float64Array(n * n);
  const temperatureC = Float64Array.from(startC);
  const powerW = new Float64Array(n);
  const held = new Uint8Array(n);
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  return {
    temperatureC,
    powerW,
    held,
    join(i, j, value) {
      conductance[i * n + j] = value;
      conductance[j * n + i] = value;
    },
    step(dtS) {
      for (let i = 0; i < n; i++) {
        const row = i * n;
        const store = heatJPerK[i]! / dtS;
        if (held[i] || store === Number.POSITIVE_INFINITY) {
          matrix.fill(0, row, row + n);
          matrix[row + i] = 1;
          right[i] = temperatureC[i]!;
          continue;
        }
        let sum = store;
        for (let j = 0; j < n; j++) {
          const g = conductance[row + j]!;
          sum += g;
          matrix[row + j] = -g;
        }
        matrix[row + i] = sum;
        right[i] = store * temperatureC[i]! + powerW[i]!;
      }
      // The matrix is diagonally dominant: elimination needs no pivoting.
      for (let k = 0; k < n; k++) {
        const pivot = matrix[k * n + k]!;
        for (let i = k + 1; i < n; i++) {
          const factor = matrix[i * n + k]! / pivot;
          if (factor === 0) continue;
          for (let j = k; j < n; j++) matrix[i * n + j]! -= factor * matrix[k * n + j]!;
          right[i]! -= factor * right[k]!;
        }
      }
      for (let i = n - 1; i >= 0; i--) {
        let sum = right[i]!;
        for (let j = i + 1; j < n; j++) sum -= matrix[i * n + j]! * temperatureC[j]!;
        temperatureC[i] = sum / matrix[i * n + i]!;
      }
    },
  };
}
