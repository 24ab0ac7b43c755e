/** One set of unknowns through the run's past: bed and room as measured or assumed, doors forced, changes at their blocks. */
import { ABSENT, BLOCK_S, type Blocks, isThere, MOST_BLOCKS } from './blocks.ts';
import {
  airOf,
  type Chamber,
  convection,
  createChamber,
  type Nodes,
  stepChamber,
  stepForced,
} from './model.ts';
import { ASSUMED_ROOM_C, applyUnknowns, createStart, type SoakFrame, type Start } from './priors.ts';

/** Steps of the model in a block: two minutes while the walls warm up, which take ten; whole blocks later. */
const EARLY_STEPS = 2;
const EARLY_BLOCKS = 30;
/** And again from shortly before the heat goes off. */
const LATE_S = 480;
/** Bed assumed where none is measured, °C: only its pull g_b·T_b shows in the air, so that its level is no unknown. */
export const ASSUMED_BED_C = 95;

export interface Forcing {
  readonly count: number;
  /** Block means of the air, bridged where absent: used where a door forces them. */
  readonly airC: Float64Array;
  readonly roomC: Float64Array;
  /** NaN where the bed must be assumed. */
  readonly bedC: Float64Array;
  readonly masked: readonly number[];
  readonly firstAirC: number;
  /** Blocks at which fan or vent changed. */
  readonly changes: readonly number[];
  /** Block at which the heat went off; null: it is on. */
  readonly offBlock: number | null;
}

export interface Workbench {
  readonly chamber: Chamber;
  readonly start: Start;
  readonly nodes: Nodes;
  /** Bed at the end of the past, °C, measured or assumed. */
  bedC: number;
  /** And at the end of each block. */
  bedsC: Float64Array;
}

export const createWorkbench = (): Workbench => ({
  chamber: createChamber(),
  start: createStart(),
  nodes: { airC: 0, wallC: 0, frameC: 0, floorC: 0 },
  bedC: 0,
  bedsC: new Float64Array(MOST_BLOCKS + 1),
});

/** The last value said; before the first the first; `otherwise` where there is none. */
function hold(values: readonly number[], otherwise: number): Float64Array {
  let last = values.find(isThere) ?? otherwise;
  return Float64Array.from(values, (value) => {
    if (isThere(value)) last = value;
    return last;
  });
}

export function buildForcing(
  blocks: Blocks,
  beforeC: number,
  assumedRoomC: number,
  changes: readonly number[],
  offBlock: number | null,
): Forcing {
  const bedSeen = blocks.bedC.some(isThere);
  return {
    count: blocks.airC.length,
    airC: hold(blocks.airC, beforeC),
    roomC: hold(blocks.roomC, isThere(assumedRoomC) ? assumedRoomC : ASSUMED_ROOM_C),
    bedC: bedSeen ? hold(blocks.bedC, ABSENT) : new Float64Array(blocks.airC.length).fill(Number.NaN),
    masked: blocks.masked.map((masked, i) => (masked && isThere(blocks.airC[i]!) ? 1 : 0)),
    firstAirC: beforeC,
    changes,
    offBlock,
  };
}

/** Bed where none is measured, while it is on: a straight ramp to its level, held. */
function heldBedC(start: Start, frame: SoakFrame, runS: number, roomC: number): number {
  const share = frame.ramped ? 1 : Math.min(1, Math.max(0, runS / start.bedRampS));
  return roomC + (ASSUMED_BED_C - roomC) * share;
}

/** A bed that is off, after `dtS`: it gives its heat to the air about it, by natural convection as the frame does. */
export const cooledBedC = (bedC: number, airC: number, dtS: number, decayS: number): number =>
  airC + (bedC - airC) * Math.exp((-dtS * convection(bedC - airC)) / decayS);

/** Sets chamber, start and nodes from the unknowns, before the first block. */
export function beginChamber(bench: Workbench, frame: SoakFrame, z: Float64Array, forcing: Forcing): void {
  const roomC = forcing.count > 0 ? forcing.roomC[0]! : ASSUMED_ROOM_C;
  applyUnknowns(frame, z, forcing.firstAirC, roomC, bench.chamber, bench.start);
  bench.nodes.wallC = bench.start.wallC;
  bench.nodes.frameC = bench.start.frameC;
  bench.nodes.floorC = bench.start.floorC;
  bench.nodes.airC = forcing.firstAirC;
}

/** What a change at a block makes of leak and bed. Each is against the chamber as it first was; the latest stands. */
function applyChange(
  bench: Workbench,
  base: { leak: number; bed: number },
  forcing: Forcing,
  block: number,
): void {
  for (let change = 0; change < forcing.changes.length; change++)
    if (forcing.changes[change] === block) {
      bench.chamber.leak = base.leak * bench.start.changeLeak[change]!;
      bench.chamber.bed = base.bed * bench.start.changeBed[change]!;
    }
}

/** Block means of the air as the model has them; leaves the bench at the end of the past. */
export function simulatePast(
  bench: Workbench,
  frame: SoakFrame,
  z: Float64Array,
  forcing: Forcing,
  predictions: Float64Array,
): void {
  beginChamber(bench, frame, z, forcing);
  const { chamber, nodes, start } = bench;
  const base = { leak: chamber.leak, bed: chamber.bed };
  const offS =
    forcing.offBlock === null
      ? Number.POSITIVE_INFINITY
      : Math.max(0, forcing.offBlock * BLOCK_S + start.offAfterS);
  bench.bedC = forcing.firstAirC;
  for (let i = 0; i < forcing.count; i++) {
    applyChange(bench, base, forcing, i);
    const roomC = forcing.roomC[i]! + start.roomOffsetC;
    const steps = i < EARLY_BLOCKS || i * BLOCK_S + LATE_S > offS ? EARLY_STEPS : 1;
    const dtS = BLOCK_S / steps;
    let sum = 0;
    for (let step = 0; step < steps; step++) {
      const atS = i * BLOCK_S + (step + 0.5) * dtS;
      const airC = forcing.masked[i] ? forcing.airC[i]! : nodes.airC;
      const bedC = moveBed(bench, frame, forcing.bedC[i]!, atS, dtS, offS, roomC, airC);
      if (forcing.masked[i]) {
        stepForced(chamber, nodes, dtS, airC, roomC);
        sum += airC;
        continue;
      }
      const before = airOf(chamber, nodes, bedC, roomC);
      stepChamber(chamber, nodes, dtS, bedC, roomC);
      sum += 0.5 * (before + nodes.airC);
    }
    bench.bedsC[i] = bench.bedC;
    predictions[i] = sum / steps;
  }
}

/** Bed over a step about `atS`: as measured, else as assumed; its end is left on the bench. */
function moveBed(
  bench: Workbench,
  frame: SoakFrame,
  measuredC: number,
  atS: number,
  dtS: number,
  offS: number,
  roomC: number,
  airC: number,
): number {
  const { start } = bench;
  if (!Number.isNaN(measuredC)) {
    bench.bedC = measuredC;
    return measuredC;
  }
  const endS = atS + 0.5 * dtS;
  if (endS <= offS) {
    bench.bedC = heldBedC(start, frame, endS, roomC);
    return heldBedC(start, frame, atS, roomC);
  }
  const fromC = atS - 0.5 * dtS < offS ? heldBedC(start, frame, offS, roomC) : bench.bedC;
  bench.bedC = cooledBedC(fromC, airC, Math.min(dtS, endS - offS), start.bedDecayS);
  return 0.5 * (fromC + bench.bedC);
}
