/**
 * The spool's water: moisture of every ring of every shell on both sides, and the vapour in the pores between.
 *
 * Each step is implicit and water-exact: what the rings lose is what the pores gain, to rounding, because one and the
 * same linear expression for the flux stands on both sides. All of it is an affine function of the box air's vapour
 * density rho_box, which the box solves last (out = out0 − out1·rho_box, g/s); `settle` then fills in the rest.
 *
 * Letters: c cell = side · shells + shell; w content at the filament's surface, wt %; rho vapour density, g/m³;
 * a activity; x place in the hysteresis loop (0 wetting branch, 1 drying branch).
 */
import { saturationDensityGPerM3 } from '../server/physics/psychrometrics.ts';
import { cutRings, ringSolver, sectionMean } from './filament-rings.ts';
import { dryDiffusivity, type Polymer, plasticisation, temperatureFactor } from './polymer-draw.ts';
import { spoolHeat } from './spool-heat.ts';
import { airDiffusivityM2PerS, type Winding } from './winding.ts';

export interface SpoolStart {
  readonly temperatureC: number;
  /** Mean over the filament's section, per shell, hub to outside, wt %. */
  readonly shellWtPercent: readonly number[];
  readonly shellActivity: readonly number[];
  /** Place in the hysteresis loop, 0–1. */
  readonly branch: number;
}

export interface SpoolTruth {
  readonly shells: number;
  /** g/s into the box air: out0 − out1·rho_box. */
  readonly out: { out0: number; out1: number };
  /** Heat first. `sideAirC` is the air at each side. Returns the heat taken from the air, W. */
  stepHeat(sideAirC: readonly [number, number], hubAirC: number, dtS: number): number;
  /** This step's linear relation between box air and spool. */
  relate(boxDensityGPerM3: number, dtS: number): void;
  settle(boxDensityGPerM3: number): void;
  /** Mean of the sides. */
  shellTemperatureC(shell: number): number;
  /** Turn mean (section and both sides) of a shell, wt %. */
  turnWtPercent(shell: number): number;
  /** g in rings and pores. */
  waterG(): number;
}

const SIDES = 2;
/** Properties follow the temperature in steps this fine; exp and powers cost more than everything else. */
const PROPERTY_STEP_C = 0.02;
/** A step that moves a pore's vapour by more than this fraction is linearised a second time. */
const SECOND_LOOK = 0.02;
const LEAST_ACTIVITY = 1e-7;

export function spoolTruth(
  polymer: Polymer,
  winding: Winding,
  sideShare: readonly [number, number],
  filamentRadiusM: number,
  ringCount: number,
  start: SpoolStart,
): SpoolTruth {
  const n = winding.shells;
  const cells = SIDES * n;
  const rings = cutRings(ringCount, filamentRadiusM);
  const solver = ringSolver(rings, cells);
  const { rate0, rate1 } = solver;
  const heat = spoolHeat(polymer, winding, sideShare, start.temperatureC);
  const { k, C, b, q, n: clusterN } = polymer.isotherm;
  const h = polymer.hysteresis;
  const loop = polymer.loopLnActivity;
  const array = (): Float64Array => new Float64Array(cells);

  const content = new Float64Array(cells * ringCount);
  const density = array();
  const branch = array().fill(start.branch);
  const activity = array();
  const release = array();
  // Properties at the cell's temperature, renewed when it has moved.
  const propertyC = array().fill(Number.NaN);
  const saturation = array();
  const factor = array();
  const diffusivity = array();
  const perWt = array();
  const airD = array();
  // One step's linear relations.
  const surface0 = array();
  const surface1 = array();
  const partial = array();
  const gain = array();
  const boxward = array();
  const diagonal = new Float64Array(n);
  const inward = new Float64Array(n);
  const out = { out0: 0, out1: 0 };

  const refresh = (c: number): void => {
    const at = heat.temperatureC[c]!;
    if (Math.abs(at - propertyC[c]!) < PROPERTY_STEP_C) return;
    propertyC[c] = at;
    saturation[c] = saturationDensityGPerM3(at);
    factor[c] = temperatureFactor(polymer, at);
    diffusivity[c] = dryDiffusivity(polymer, at);
    perWt[c] = plasticisation(polymer, at);
    airD[c] = airDiffusivityM2PerS(at);
  };
  for (let c = 0; c < cells; c++) {
    refresh(c);
    content.fill(start.shellWtPercent[c % n]!, c * ringCount, (c + 1) * ringCount);
    activity[c] = start.shellActivity[c % n]!;
    density[c] = activity[c]! * saturation[c]!;
  }

  const place = (c: number, a: number): number => branch[c]! - Math.log(a / activity[c]!) / loop;

  /** Surface content as a line through the pore's density: surface0 + surface1·rho. */
  const linearise = (c: number, rho: number): void => {
    const a = Math.max(LEAST_ACTIVITY, rho / saturation[c]!);
    const bound = 1 + b * a;
    const cluster = q === 0 ? 0 : q * a ** (clusterN - 1);
    const middle = (k + (C * b) / bound + cluster) * a;
    const slope = k + (C * b) / (bound * bound) + clusterN * cluster;
    const x = place(c, a);
    const scanning = x > 0 && x < 1;
    const loopFactor = 1 + h * (Math.min(1, Math.max(0, x)) - 0.5);
    // Between the branches the curve is flatter: dw/da = w'·loopFactor − w·h/(a·loop).
    const dw = factor[c]! * (slope * loopFactor - (scanning ? (middle * h) / (a * loop) : 0));
    surface1[c] = dw / saturation[c]!;
    surface0[c] = factor[c]! * middle * loopFactor - dw * a;
  };

  /** Pores of one side: tridiagonal outwards, kept as partial + gain·rho_box. */
  const solvePores = (side: number, dtS: number): void => {
    const share = sideShare[side]!;
    const base = side * n;
    let below = 0;
    for (let i = 0; i < n; i++) {
      const c = base + i;
      const last = i + 1 === n;
      const gramsPerWt = 0.01 * winding.dryMassG[i]! * share;
      const flange = winding.flangeM[i]! * airD[c]! * share;
      let outward = winding.outwardM[i]! * airD[c]! * share;
      if (last) outward = 1 / (1 / outward + 1 / (winding.outerFilmM3PerS * share));
      boxward[c] = flange + (last ? outward : 0);
      const store = (winding.poreVolumeM3[i]! * share) / dtS;
      let d = store + gramsPerWt * rate1[c]! * surface1[c]! + flange + outward + below;
      let y = store * density[c]! + gramsPerWt * (rate0[c]! - rate1[c]! * surface0[c]!);
      let g = boxward[c]!;
      if (i > 0) {
        const f = below / diagonal[i - 1]!;
        d -= f * below;
        y += f * partial[c - 1]!;
        g += f * gain[c - 1]!;
      }
      diagonal[i] = d;
      inward[i] = below;
      partial[c] = y;
      gain[c] = g;
      below = outward;
    }
    for (let i = n - 1; i >= 0; i--) {
      const c = base + i;
      const above = i + 1 < n ? inward[i + 1]! : 0;
      partial[c] = (partial[c]! + (above === 0 ? 0 : above * partial[c + 1]!)) / diagonal[i]!;
      gain[c] = (gain[c]! + (above === 0 ? 0 : above * gain[c + 1]!)) / diagonal[i]!;
    }
  };

  const largestMove = (side: number, boxDensity: number): number => {
    let moved = 0;
    for (let c = side * n; c < (side + 1) * n; c++) {
      const guess = partial[c]! + gain[c]! * boxDensity;
      moved = Math.max(moved, Math.abs(guess - density[c]!) / density[c]!);
    }
    return moved;
  };

  return {
    shells: n,
    out,
    stepHeat(sideAirC, hubAirC, dtS) {
      const taken = heat.step(sideAirC, hubAirC, release, dtS);
      for (let c = 0; c < cells; c++) refresh(c);
      return taken;
    },
    relate(boxDensity, dtS) {
      for (let c = 0; c < cells; c++) {
        solver.eliminate(content, c, diffusivity[c]!, perWt[c]!, dtS);
        linearise(c, density[c]!);
      }
      out.out0 = 0;
      out.out1 = 0;
      for (let side = 0; side < SIDES; side++) {
        solvePores(side, dtS);
        if (largestMove(side, boxDensity) > SECOND_LOOK) {
          for (let c = side * n; c < (side + 1) * n; c++)
            linearise(c, Math.max(0.2 * density[c]!, partial[c]! + gain[c]! * boxDensity));
          solvePores(side, dtS);
        }
        for (let c = side * n; c < (side + 1) * n; c++) {
          out.out0 += boxward[c]! * partial[c]!;
          out.out1 += boxward[c]! * (1 - gain[c]!);
        }
      }
    },
    settle(boxDensity) {
      for (let c = 0; c < cells; c++) {
        const rho = partial[c]! + gain[c]! * boxDensity;
        const surface = surface0[c]! + surface1[c]! * rho;
        const share = c < n ? sideShare[0] : sideShare[1];
        release[c] = 0.01 * winding.dryMassG[c % n]! * share * (rate0[c]! - rate1[c]! * surface);
        solver.substitute(content, c, surface);
        density[c] = rho;
        const a = Math.max(LEAST_ACTIVITY, rho / saturation[c]!);
        branch[c] = Math.min(1, Math.max(0, place(c, a)));
        activity[c] = a;
      }
    },
    shellTemperatureC: (shell) =>
      sideShare[0] * heat.temperatureC[shell]! + sideShare[1] * heat.temperatureC[n + shell]!,
    turnWtPercent: (shell) =>
      sideShare[0] * sectionMean(rings, content, shell) +
      sideShare[1] * sectionMean(rings, content, n + shell),
    waterG() {
      let sum = 0;
      for (let c = 0; c < cells; c++) {
        const grams = 0.01 * winding.dryMassG[c % n]! * sectionMean(rings, content, c);
        const share = c < n ? sideShare[0] : sideShare[1];
        sum += share * (grams + winding.poreVolumeM3[c % n]! * density[c]!);
      }
      return sum;
    },
  };
}
