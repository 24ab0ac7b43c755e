/** How the winding follows the box's temperature: one implicit step over its shells. */
import { PACK_CONDUCTIVITY_W_PER_M_K, PACK_FILM_W_PER_M2_K } from '../../physics/spool-pack.ts';
import { TABLE_HIGHEST_C, TABLE_LOWEST_C } from './thermal-table.ts';

/** Geometry and scratch that the step needs. */
export interface PackHeat {
  readonly upper: Float64Array;
  readonly rhs: Float64Array;
  readonly faceM2PerM: Float64Array;
  readonly shellHeatJPerK: Float64Array;
  /** From the box's air through flanges and hub straight into a shell, W/K. */
  readonly sideWPerK: Float64Array;
  readonly depthM: number;
  readonly outerAreaM2: number;
}

/** Implicit radial conduction; outer face through a film, sides and hub straight from the box's air. */
export function stepHeat(
  pack: PackHeat,
  heatScale: number,
  T: Float64Array,
  dtS: number,
  boxC: number,
): void {
  const { upper, rhs, faceM2PerM, shellHeatJPerK, sideWPerK } = pack;
  const air = Math.min(TABLE_HIGHEST_C - 1, Math.max(TABLE_LOWEST_C, boxC));
  const k = (PACK_CONDUCTIVITY_W_PER_M_K * heatScale) / pack.depthM;
  const h = PACK_FILM_W_PER_M2_K * heatScale;
  const outer = pack.outerAreaM2 / (1 / h + 0.5 / k);
  const perS = 1 / dtS;
  let left = 0;
  let carried = 0;
  for (let i = 0; i < T.length; i++) {
    const heat = shellHeatJPerK[i]! * perS;
    const side = sideWPerK[i]! * heatScale;
    const right = i === T.length - 1 ? outer : k * faceM2PerM[i + 1]!;
    const perDiagonal = 1 / (heat + side + left + right);
    const share = right * perDiagonal;
    const given = (heat * T[i]! + side * air + carried) * perDiagonal;
    upper[i] = share;
    rhs[i] = given;
    left = right * (1 - share);
    carried = right * given;
  }
  let t = air;
  for (let i = T.length - 1; i >= 0; i--) {
    t = rhs[i]! + upper[i]! * t;
    T[i] = t;
  }
}
