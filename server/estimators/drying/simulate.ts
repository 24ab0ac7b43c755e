/** One member through the run's past: start state, forcing, what the sensors would have seen. */

import { DRIEST_SUPPLY_G_PER_M3 } from '../../physics/floor.ts';
import type { Forcing } from './forcing.ts';
import {
  createKernel,
  createModelState,
  type Kernel,
  type Member,
  type ModelState,
  meanMoisture,
  SHELLS,
  shapeKernel,
  stepModel,
} from './model.ts';
import { PAPER_OUTER_SHARE, paperWaterGPerG } from './paper-reel.ts';
import {
  ASSUMED_ROOM_G_PER_M3,
  applyUnknowns,
  createMember,
  createMemberStart,
  type MemberStart,
  type Priors,
} from './priors.ts';
import { buildThermalTable, reducedSaturationGPerM3 } from './thermal-table.ts';

/** Scratch of one run: member, start and state are filled afresh for each vector of unknowns. */
export interface Workbench {
  readonly priors: Priors;
  readonly kernel: Kernel;
  readonly member: Member;
  readonly start: MemberStart;
  readonly state: ModelState;
}

export function createWorkbench(priors: Priors): Workbench {
  const { material, diameterMm } = priors.setup;
  return {
    priors,
    kernel: createKernelFor(priors, buildThermalTable(material, diameterMm)),
    member: createMember(),
    start: createMemberStart(),
    state: createModelState(),
  };
}

function createKernelFor(priors: Priors, table: Float64Array): Kernel {
  const { material } = priors.setup;
  return createKernel(table, material.densityKgPerM3, material.specificHeatJPerKgK);
}

/** Vapour of the air that comes in, reduced g/m³: the room's, or between the driest and it for a desiccant. */
export function supplyOf(start: MemberStart, roomGPerM3: number): number {
  if (Number.isNaN(start.supplyShare)) return roomGPerM3 * start.supplyScale;
  const driest = Math.min(DRIEST_SUPPLY_G_PER_M3, roomGPerM3);
  return driest * (roomGPerM3 / driest) ** start.supplyShare;
}

/** What the box held when first seen. */
export interface FirstAir {
  readonly airC: number;
  /** NaN without a humidity. */
  readonly rhPercent: number;
}

/** Sets member, start and state from the unknowns. */
export function beginMember(bench: Workbench, z: Float64Array, forcing: Forcing, first: FirstAir): void {
  const { priors, kernel, member, start, state } = bench;
  applyUnknowns(priors, z, forcing.roomRhPercent, member, start);
  shapeKernel(kernel, member);
  const beforeC = forcing.beforeC + start.warmth * (first.airC - forcing.beforeC);
  for (let i = 0; i < SHELLS; i++) {
    const a = start.activity[i]!;
    // The store is at room temperature: its isotherm is the table's.
    const w = (member.slopeWtPercent * a) / Math.max(0.05, 1 - member.curvature * a);
    state.temperatureC[i] = beforeC;
    state.modes.fill(w, 3 * i, 3 * i + 3);
    state.moisture[i] = w;
    state.activity[i] = a;
  }
  const saturation = reducedSaturationGPerM3(first.airC);
  const said = Number.isNaN(first.rhPercent) ? Number.NaN : (first.rhPercent - start.rhOffset) / start.rhGain;
  const room = forcing.count > 0 ? forcing.roomGPerM3[0]! : ASSUMED_ROOM_G_PER_M3;
  state.boxGPerM3 = Number.isNaN(said) ? room : Math.max(DRIEST_G_PER_M3, said * 0.01 * saturation);
  const paperG = member.paperG * paperWaterGPerG(start.reelActivity);
  state.paperOuterG = PAPER_OUTER_SHARE * paperG;
  state.paperInnerG = paperG - state.paperOuterG;
}

/** So long an opening exchanges the box's air whole, at any step. */
const TAKEN_OVER_S = 1e6;
/** Drier than this no box's air is, reduced g/m³: a sensor's offset must not turn it over. */
const DRIEST_G_PER_M3 = 0.02;

/**
 * One cell of the past. While a lid is open and just after, the box's air is what was measured in it: how long it stood open
 * and how well it mixed is not known closely, and wrong air after each lid was paid for by pack and volume.
 */
export function stepPast(bench: Workbench, forcing: Forcing, i: number): void {
  const { kernel, member, start, state } = bench;
  const taken = forcing.takenRhPercent[i]!;
  const lengthS = forcing.lengthS[i]!;
  const airC = forcing.airC[i]!;
  if (Number.isNaN(taken)) {
    const supply = supplyOf(start, forcing.roomGPerM3[i]!);
    stepModel(kernel, member, state, lengthS, airC, supply, forcing.lidS[i]!);
    return;
  }
  const trueRh = (taken - start.rhOffset - start.rhHeat * forcing.heatShare[i]!) / start.rhGain;
  const vapour = Math.max(DRIEST_G_PER_M3, 0.01 * trueRh * reducedSaturationGPerM3(airC));
  stepModel(kernel, member, state, lengthS, airC, vapour, TAKEN_OVER_S);
}

/** Predictions, three columns of `count`: vapour in the box and water in spool and reel (both amid the cell), water at its end. */
export function simulateHistory(
  bench: Workbench,
  z: Float64Array,
  forcing: Forcing,
  first: FirstAir,
  predictions: Float64Array,
): void {
  beginMember(bench, z, forcing, first);
  const { kernel, member, state } = bench;
  const { count } = forcing;
  let vapour = state.boxGPerM3;
  let water = waterG(kernel, member, state);
  for (let i = 0; i < count; i++) {
    stepPast(bench, forcing, i);
    const after = waterG(kernel, member, state);
    predictions[i] = 0.5 * (vapour + state.boxGPerM3);
    predictions[count + i] = 0.5 * (water + after);
    predictions[2 * count + i] = after;
    vapour = state.boxGPerM3;
    water = after;
  }
}

/** Water in spool and reel, g. */
export const waterG = (kernel: Kernel, member: Member, state: ModelState): number =>
  0.01 * member.dryMassG * meanMoisture(kernel, state) + state.paperOuterG + state.paperInnerG;
