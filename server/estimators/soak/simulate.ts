/** One set of unknowns through the run's past: bed and room as measured or assumed, doors forced, changes at their blocks. */
import { ABSENT, BLOCK_S, type Blocks, isThere } from './blocks.ts';
import { airOf, type Chamber, createChamber, type Nodes, stepChamber, stepForced } from './model.ts';
import { ASSUMED_ROOM_C, applyUnknowns, createStart, type SoakFrame, type Start } from './priors.ts';

/** Steps of the model in a block: two minutes while the walls warm up, which take ten; whole blocks later. */
const EARLY_STEPS = 2;
const EARLY_BLOCKS = 30;
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
}

export const createWorkbench = (): Workbench => ({
  chamber: createChamber(),
  start: createStart(),
  nodes: { airC: 0, wallC: 0, frameC: 0 },
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

/** Bed where none is measured: a straight ramp to its level, held, and left to cool once off. */
export function assumedBedC(
  start: Start,
  frame: SoakFrame,
  runS: number,
  offS: number | null,
  roomC: number,
): number {
  const level = (atS: number): number =>
    roomC + (ASSUMED_BED_C - roomC) * (frame.ramped ? 1 : Math.min(1, Math.max(0, atS / start.bedRampS)));
  if (offS === null || runS < offS) return level(runS);
  return roomC + (level(offS) - roomC) * Math.exp(-(runS - offS) / start.bedDecayS);
}

/** Sets chamber, start and nodes from the unknowns, before the first block. */
export function beginChamber(bench: Workbench, frame: SoakFrame, z: Float64Array, forcing: Forcing): void {
  const roomC = forcing.count > 0 ? forcing.roomC[0]! : ASSUMED_ROOM_C;
  applyUnknowns(frame, z, forcing.firstAirC, roomC, bench.chamber, bench.start);
  bench.nodes.wallC = bench.start.wallC;
  bench.nodes.frameC = bench.start.frameC;
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
  const offS = forcing.offBlock === null ? null : forcing.offBlock * BLOCK_S;
  for (let i = 0; i < forcing.count; i++) {
    applyChange(bench, base, forcing, i);
    const roomC = forcing.roomC[i]! + start.roomOffsetC;
    if (forcing.masked[i]) {
      stepForced(chamber, nodes, BLOCK_S, forcing.airC[i]!, roomC);
      predictions[i] = forcing.airC[i]!;
      continue;
    }
    const steps = i < EARLY_BLOCKS ? EARLY_STEPS : 1;
    const dtS = BLOCK_S / steps;
    let sum = 0;
    for (let step = 0; step < steps; step++) {
      const measured = forcing.bedC[i]!;
      const atS = i * BLOCK_S + (step + 0.5) * dtS;
      const bedC = Number.isNaN(measured) ? assumedBedC(start, frame, atS, offS, roomC) : measured;
      const before = airOf(chamber, nodes, bedC, roomC);
      stepChamber(chamber, nodes, dtS, bedC, roomC);
      sum += 0.5 * (before + nodes.airC);
    }
    predictions[i] = sum / steps;
  }
}
