/**
 * Heat in the winding: radial conduction on both sides of the spool, film and flanges to the air, a hub that breathes
 * a little, and the heat that evaporation takes. Implicit finite volumes.
 */
import type { Polymer } from './polymer-draw.ts';
import type { Winding } from './winding.ts';

export interface SpoolHeat {
  /** By cell (side · shells + shell), °C. */
  readonly temperatureC: Float64Array;
  /** `sideAirC`: the air at each side; `releaseGPerS`: vapour leaving each cell. Returns the heat taken from the air, W. */
  step(sideAirC: readonly [number, number], hubAirC: number, releaseGPerS: Float64Array, dtS: number): number;
}

/** Evaporation, J/g; binding adds a few per cent (judgement). */
const LATENT_J_PER_G = 2450;

export function spoolHeat(
  polymer: Polymer,
  winding: Winding,
  sideShare: readonly [number, number],
  startC: number,
): SpoolHeat {
  const n = winding.shells;
  const temperatureC = new Float64Array(2 * n).fill(startC);
  const diagonal = new Float64Array(n);
  const right = new Float64Array(n);
  const heatPerM3K = polymer.densityKgPerM3 * polymer.specificHeatJPerKgK;

  const stepSide = (
    side: number,
    airC: number,
    hubAirC: number,
    release: Float64Array,
    dtS: number,
  ): number => {
    const share = sideShare[side]!;
    const base = side * n;
    let below = winding.hubWPerK * share;
    for (let i = 0; i < n; i++) {
      const c = base + i;
      const solid = winding.shellVolumeM3[i]! - winding.poreVolumeM3[i]!;
      const store = (solid * share * heatPerM3K) / dtS;
      const outward = winding.outwardWPerK[i]! * share;
      const flange = winding.flangeWPerK[i]! * share;
      const toAir = flange + (i + 1 === n ? outward : 0);
      let d = store + below + outward + flange;
      let y = store * temperatureC[c]! + toAir * airC - LATENT_J_PER_G * release[c]!;
      if (i === 0) y += below * hubAirC;
      else {
        const factor = below / diagonal[i - 1]!;
        d -= factor * below;
        y += factor * right[i - 1]!;
      }
      diagonal[i] = d;
      right[i] = y;
      below = outward;
    }
    let taken = 0;
    let outside = 0;
    for (let i = n - 1; i >= 0; i--) {
      const outward = winding.outwardWPerK[i]! * share;
      const last = i + 1 === n;
      const value = (right[i]! + (last ? 0 : outward * outside)) / diagonal[i]!;
      temperatureC[base + i] = value;
      taken += (winding.flangeWPerK[i]! * share + (last ? outward : 0)) * (airC - value);
      outside = value;
    }
    return taken + winding.hubWPerK * share * (hubAirC - outside);
  };

  return {
    temperatureC,
    step(sideAirC, hubAirC, releaseGPerS, dtS) {
      return (
        stepSide(0, sideAirC[0], hubAirC, releaseGPerS, dtS) +
        stepSide(1, sideAirC[1], hubAirC, releaseGPerS, dtS)
      );
    },
  };
}
