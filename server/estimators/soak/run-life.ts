/** What each closed minute and block does to a heat-up: heat on or off, changes, refit, steady or not. */
import {
  ABSENT,
  addBlock,
  BLOCK_MINUTES,
  BLOCK_S,
  DROPPED_BLOCKS,
  dropOldBlocks,
  isThere,
  MINUTE_MS,
  type Minute,
  MOST_BLOCKS,
  MOST_MINUTES,
} from './blocks.ts';
import { findJump } from './change.ts';
import { decideSteady } from './decision.ts';
import { spreadInto } from './draws.ts';
import { findHeat, watchBed } from './heating.ts';
import type { SlowNodes } from './model.ts';
import { type SoakSetup, UNKNOWNS } from './priors.ts';
import { refitSoak } from './refit.ts';
import { addChange, blocksSinceChange, isAdrift, noteChange } from './run-change.ts';
import { forcingOf, frameOf, openingOf, slopeOf } from './run-frame.ts';
import { createWorkbench, simulatePast } from './simulate.ts';
import { createRun, type LearnedHeatUp, type SoakRun, type SoakState } from './state.ts';
import { type SoakSummary, summariseSoak } from './summary.ts';

/** Fits kept to hold later blocks against. */
const KEPT_FITS = 6;
/** Air this near the room after the heat went off: the run is over. */
const COLD_WITHIN_C = 3;
/** Taken for a heat-up but not risen by this within 20 min: it was none. */
const FALSE_START_BLOCKS = 5;
const FALSE_START_C = 2;
/** Unheard for this long, and what was known of the run is of no use. */
const FORGOTTEN_BLOCKS = 180;

export function takeMinute(
  setup: SoakSetup,
  state: SoakState,
  minute: Minute,
  draws: (run: SoakRun) => Float64Array,
): void {
  state.minutes.push(minute);
  if (state.minutes.length > MOST_MINUTES) state.minutes.shift();
  if (state.run === null || (state.run.offBlock !== null && !isThere(minute.bedC)))
    lookForHeat(setup, state, draws);
  else giveMinute(setup, state, state.run, minute, draws);
}

function lookForHeat(setup: SoakSetup, state: SoakState, draws: (run: SoakRun) => Float64Array): void {
  const before = state.run;
  const finding = findHeat(state.minutes, state.first);
  const { minutes } = state;
  if (isThere(minutes[minutes.length - 1]!.airC)) state.first = false;
  if (finding.outcome === 'unheated') {
    if (before) giveMinute(setup, state, before, minutes[minutes.length - 1]!, draws);
    return;
  }
  const warm = finding.outcome === 'warm-already';
  const earlier = minutes.slice(Math.max(0, finding.fromMinute - 5), finding.fromMinute);
  const airs = (warm ? minutes.slice(finding.fromMinute) : earlier).map(({ airC }) => airC).filter(isThere);
  const first = minutes[finding.fromMinute]!;
  const beforeC = airs.length > 0 ? airs.reduce((sum, airC) => sum + airC, 0) / airs.length : first.airC;
  const nodes = before?.summary ?? null;
  state.run = createRun({
    startMs: first.endMs - MINUTE_MS,
    warmStart: warm,
    ramped: warm,
    carried: nodes ? slowNodesOf(nodes) : null,
    beforeC,
    assumedRoomC: warm ? ABSENT : nodes ? before!.assumedRoomC : beforeC,
  });
  const run = state.run;
  for (const minute of minutes.slice(finding.fromMinute)) giveMinute(setup, state, run, minute, draws);
}

function giveMinute(
  setup: SoakSetup,
  state: SoakState,
  run: SoakRun,
  minute: Minute,
  draws: (run: SoakRun) => Float64Array,
): void {
  if (isThere(minute.bedC)) {
    run.highestBedC = Math.max(run.highestBedC, minute.bedC);
    const bed = watchBed(state.minutes, run.highestBedC, run.offBlock !== null);
    if (bed === 'off') run.offBlock = run.blocks.airC.length;
    else if (bed === 'on-again') {
      run.offBlock = null;
      run.highestBedC = minute.bedC;
      run.openSinceMs = null;
    }
  }
  run.pending.push(minute);
  const adrift = isAdrift(run, minute);
  if (adrift) run.straying = true;
  if (run.pending.length < BLOCK_MINUTES) return;
  addBlock(run.blocks, run.pending);
  run.pending = [];
  takeBlock(setup, state, run, draws(run), adrift);
}

function takeBlock(
  setup: SoakSetup,
  state: SoakState,
  run: SoakRun,
  standard: Float64Array,
  adrift: boolean,
): void {
  const { blocks } = run;
  const last = blocks.airC.length - 1;
  const heard = blocks.airC.findLastIndex(isThere);
  if (last - heard >= FORGOTTEN_BLOCKS) {
    state.run = null;
    state.first = true;
    return;
  }
  if (blocks.airC.length > MOST_BLOCKS) giveUpOldBlocks(run);
  const shut = blocks.airC.findLastIndex((airC, i) => isThere(airC) && !blocks.masked[i]);
  if (heard < last || shut < 0) return;
  const airC = blocks.airC[shut]!;
  run.highestAirC = Math.max(run.highestAirC, airC);
  noteChange(setup, run);
  run.straying ||= adrift && run.offBlock === null;
  if (isOver(run, airC)) {
    state.run = null;
    return;
  }
  run.slopeCPer10Min = slopeOf(run);
  const answer = refitSoak(
    blocks,
    forcingOf(run),
    frameOf(run),
    run.posterior,
    standard,
    setup.readyBandC,
    openingOf(setup, state),
    run.offBlock === null ? 0 : run.startMs + run.offBlock * BLOCK_S * 1000,
  );
  const summary = summariseSoak(answer.answers, airC, setup.readyBandC);
  run.posterior = answer.posterior;
  run.summary = summary;
  run.summaryMs = run.startMs + blocks.airC.length * BLOCK_S * 1000;
  const { aheadSdC, pSteady } = summary;
  run.fits.push({ posterior: answer.posterior, blocks: blocks.airC.length, aheadSdC, pSteady });
  if (run.fits.length > KEPT_FITS) run.fits.shift();
  const jump =
    run.offBlock === null ? findJump(blocks, answer.fitted, answer.posterior.meanSquare, run.changes) : null;
  if (jump !== null) addChange(run, jump);
  const finding = decideSteady(run.steadySinceMs !== null, {
    pSteady: run.fits.map((fit) => fit.pSteady),
    slopeCPer10Min: run.slopeCPer10Min,
    driftLimitCPer10Min: setup.readyDriftCPer10Min,
    heat: run.offBlock === null ? 'on' : 'off',
    quiet: blocks.masked[blocks.masked.length - 1] ? 'door' : run.straying ? 'straying' : 'quiet',
    meanSquare: answer.posterior.meanSquare,
    settledBlocks: blocksSinceChange(run),
  });
  if (finding === 'called') {
    run.steadySinceMs = run.summaryMs;
    if (!run.warmStart && run.carried === null && run.changes.length === 0)
      state.learned = learnHeatUp(run, summary);
  } else if (finding !== 'still-steady') run.steadySinceMs = null;
  const { p95: openBy } = summary.openInS;
  if (run.offBlock !== null && openBy !== null && openBy <= 0) run.openSinceMs ??= run.summaryMs;
}

function learnHeatUp(run: SoakRun, summary: SoakSummary): LearnedHeatUp {
  const fromS = (run.summaryMs - run.heatOnMs) / 1000;
  return {
    steadyS: summary.steadyDrawsS.map((inS) => fromS + inS),
    finalAirC: summary.finalDrawsC,
    roomC: forcingOf(run).roomC[run.blocks.airC.length - 1]!,
  };
}

function isOver(run: SoakRun, airC: number): boolean {
  const forcing = forcingOf(run);
  const count = forcing.count;
  const bedSeen = isThere(run.blocks.bedC[count - 1]!);
  if (run.offBlock !== null) return airC < forcing.roomC[count - 1]! + COLD_WITHIN_C;
  return !bedSeen && !run.warmStart && count === FALSE_START_BLOCKS && airC < run.beforeC + FALSE_START_C;
}

/** The oldest third goes; the nodes where it ended stand for it. */
function giveUpOldBlocks(run: SoakRun): void {
  const frame = frameOf(run);
  const bench = createWorkbench();
  const z = new Float64Array(UNKNOWNS.length);
  if (run.posterior) spreadInto(run.posterior.active, run.posterior.centre, z);
  const forcing = { ...forcingOf(run), count: DROPPED_BLOCKS };
  simulatePast(bench, frame, z, forcing, new Float64Array(DROPPED_BLOCKS));
  run.carried = slowNodesOf(bench.nodes);
  run.beforeC = forcing.airC[DROPPED_BLOCKS - 1]!;
  run.ramped = true;
  dropOldBlocks(run.blocks, DROPPED_BLOCKS);
  run.startMs += DROPPED_BLOCKS * BLOCK_S * 1000;
  run.changes = run.changes.map((block) => Math.max(0, block - DROPPED_BLOCKS));
  if (run.offBlock !== null) run.offBlock = Math.max(0, run.offBlock - DROPPED_BLOCKS);
  run.fits = [];
}

const slowNodesOf = ({ wallC, frameC, floorC }: SlowNodes): SlowNodes => ({ wallC, frameC, floorC });
