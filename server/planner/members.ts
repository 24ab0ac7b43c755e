/**
 * Eighty spools that the materials table cannot tell apart: the unknowns drawn from the same priors as a run's before its
 * first reading, so that plan and bench speak of the same spool. The seed is the question's kind: the same draws at
 * every letter typed, and a curve moves by what was typed alone.
 */
import { DRAW_COLUMNS, DRAWS, standardDraws } from '../estimators/drying/draws.ts';
import { SHELLS } from '../estimators/drying/model.ts';
import { applyUnknowns, type Priors, SPREAD, type Stored } from '../estimators/drying/priors.ts';
import { createWorkbench, type Workbench } from '../estimators/drying/simulate.ts';
import { placeOf, UNKNOWNS } from '../estimators/drying/unknowns.ts';
import type { AirSupply } from '../physics/floor.ts';
import { findMaterial, type Material } from '../physics/materials.ts';
import { equilibriumWtPercent } from '../physics/sorption.ts';
import type { PlanKind } from '../plan-fields.ts';

export { DRAWS };

export interface Spool {
  readonly material: Material;
  readonly netMassG: number;
  readonly stored: Stored;
  readonly supply: AirSupply;
}

export interface Members {
  readonly bench: Workbench;
  /** Standard normals, draw by draw. */
  readonly standard: Float64Array;
  /** Fills the bench's member and start with a draw. */
  take(draw: number, roomRhPercent: number): void;
  /** One unknown's standard normal of a draw. */
  normal(draw: number, unknown: (typeof UNKNOWNS)[number]): number;
}

const USUAL_DIAMETER_MM = 1.75;

export function createMembers(kind: PlanKind, spool: Spool): Members {
  const none = UNKNOWNS.map(() => 0);
  const priors: Priors = {
    setup: {
      station: 'plan',
      spool: kind,
      material: spool.material,
      limitWtPercent: spool.material.printingLimitWtPercent,
      netMassG: spool.netMassG,
      diameterMm: USUAL_DIAMETER_MM,
      reel: 'plastic',
      reelMassG: null,
      stored: spool.stored,
      storedRhPercent: null,
      role: 'drybox',
      airVolumeL: null,
      airSupply: spool.supply,
      companions: 0,
      rhTolerancePercent: 1.8,
      temperatureToleranceC: 0.2,
    },
    supply: spool.supply,
    warmStart: false,
    carried: null,
    roomKnown: true,
    learnedMean: none,
    learnedSd: none.map(() => 1),
  };
  const bench = createWorkbench(priors);
  const standard = standardDraws(`plan/${kind}`);
  const z = new Float64Array(UNKNOWNS.length);
  return {
    bench,
    standard,
    take(draw, roomRhPercent) {
      z.set(standard.subarray(draw * DRAW_COLUMNS, draw * DRAW_COLUMNS + UNKNOWNS.length));
      applyUnknowns(priors, z, roomRhPercent, bench.member, bench.start);
    },
    normal: (draw, unknown) => standard[draw * DRAW_COLUMNS + placeOf[unknown]]!,
  };
}

/** What a moisture that a person states is good to, sd of ln (judgement: a weighing, or a figure remembered). */
const STATED_SIGMA_LN = 0.1;
/** Inner and outer turns of a spool whose mean is stated differ less than those of one never measured. */
const STATED_SLANT = 0.3;

/** A stated start: all turns near it, and activity as the member's own isotherm has it. */
export function startAt(members: Members, draw: number, moistureWtPercent: number): void {
  const { member, start } = members.bench;
  const slant = STATED_SLANT * SPREAD.innerOuter * members.normal(draw, 'inner-outer');
  const mean = moistureWtPercent * Math.exp(STATED_SIGMA_LN * members.normal(draw, 'start'));
  for (let i = 0; i < SHELLS; i++) {
    const w = mean * Math.exp(slant * (0.5 - (i + 0.5) / SHELLS));
    // Inverse of w = A·a/(1 − B·a).
    start.activity[i] = Math.min(0.98, w / (member.slopeWtPercent + member.curvature * w));
  }
}

/** How far a spool's B may lie from what fits its room's equilibrium, at 50 %RH (as the drying priors have it). */
const CURVATURE_LEAST = 0.4;

/**
 * Taking water up reaches higher on the isotherm than drying does, where the reduced form A·a/(1 − B·a) of the drying
 * model falls short. So B is chosen to meet the table's own isotherm at the room's humidity, and is uncertain about that
 * point; the low-humidity slope then is as uncertain as in drying. The drying branch's extra water does not apply.
 */
export function fitToRoom(members: Members, draw: number, roomActivity: number): void {
  const { member, priors } = { member: members.bench.member, priors: members.bench.priors };
  const { material } = priors.setup;
  const pivot = Math.max(0.1, roomActivity);
  const level = equilibriumWtPercent(material.isotherm, pivot);
  const fitted = (1 - (material.reduced.slopeWtPercent * pivot) / level) / pivot;
  const sd = (Math.max(material.curvatureSigma, CURVATURE_LEAST) * 0.5) / pivot;
  const B = Math.min(0.9 / pivot, fitted + sd * members.normal(draw, 'curvature'));
  const scale = Math.exp(material.isothermScaleSigmaLn * members.normal(draw, 'isotherm'));
  member.curvature = B;
  member.slopeWtPercent = (scale * level * (1 - B * pivot)) / pivot;
}

/** The table's row of a key that the question's reader has let through. */
export function materialOf(key: string): Material {
  const found = findMaterial(key);
  if (!found.ok) throw new RangeError(found.detail);
  return found.material;
}

/** The state that the bench's start stands for: all at one temperature, water at the level of the start's activity. */
export function beginState(bench: Workbench, temperatureC: number, boxGPerM3: number): void {
  const { member, start, state } = bench;
  for (let i = 0; i < SHELLS; i++) {
    const a = start.activity[i]!;
    const w = (member.slopeWtPercent * a) / Math.max(0.05, 1 - member.curvature * a);
    state.temperatureC[i] = temperatureC;
    state.modes.fill(w, 3 * i, 3 * i + 3);
    state.moisture[i] = w;
    state.activity[i] = a;
  }
  state.boxGPerM3 = boxGPerM3;
  state.paperOuterG = 0;
  state.paperInnerG = 0;
}
