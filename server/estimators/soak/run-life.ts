/** What each closed minute and block does to a heat-up: heat on or off, changes, refit, steady or not. */
import {
  ABSENT,
  addBlock,
  BLOCK_MINUTES,
  BLOCK_S,
  type Blocks,
  DROPPED_BLOCKS,
  dropOldBlocks,
  isThere,
  MINUTE_MS,
  type Minute,
  MOST_BLOCKS,
  MOST_MINUTES,
  recentSlopeCPer10Min,
} from './blocks.ts';
import { CHANGE_BLOCKS, findChange, findJump } from './change.ts';
import { decideSteady, SETTLING_BLOCKS } from './decision.ts';
import { spreadInto } from './draws.ts';
import { findHeat, watchBed } from './heating.ts';
import { OPEN_BELOW_C, type OpeningRule } from './opening.ts';
import { MOST_CHANGES, type SoakFrame, type SoakSetup, UNKNOWNS } from './priors.ts';
import { refitSoak } from './refit.ts';
import { buildForcing, createWorkbench, type Forcing, simulatePast } from './simulate.ts';
import { createRun, type LearnedHeatUp, type SoakRun, type SoakState } from './state.ts';
import { type SoakSummary, summariseSoak } from './summary.ts';

/** The slope's window: 20 min, three blocks of it measured with the door shut. */
const SLOPE_BLOCKS = 5;
const LEAST_SLOPE_BLOCKS = 3;
/** Fits kept to hold later blocks against. */
const KEPT_FITS = 6;
/** Air this near the room after the heat went off: the run is over. */
const COLD_WITHIN_C = 3;
/** A minute this far from where the last refit put it is no thermostat's ripple, °C. */
const ADRIFT_C = 0.5;
/** Taken for a heat-up but not risen by this within 20 min: it was none. */
const FALSE_START_BLOCKS = 5;
const FALSE_START_C = 2;
/** Unseen bed: of the rise above the room less than this is left, it went off; more than that stays, it was a fan. */
const OFF_SHARE = 0.65;
const ON_SHARE = 0.5;
/**
 * Share of the rise lost within three blocks that only a bed without heat loses: with fans of up to four times the leak 0.10
 * at most, with the bed off 0.17 at least (seeds below 1,000). Rises smaller than this are judged as this, °C.
 */
const OFF_FALL_SHARE = 0.14;
const FALL_BLOCKS = 3;
const LEAST_RISE_C = 8;
/** Unheard for this long, and what was known of the run is of no use. */
const FORGOTTEN_BLOCKS = 180;

export const openingOf = (setup: SoakSetup, state: SoakState): OpeningRule => ({
  openBelowC: setup.openBelowC ?? OPEN_BELOW_C,
  surfaceC: state.surfaceMs !== null && state.atMs - state.surfaceMs < 600_000 ? state.surfaceC : null,
  minutes: state.minutes,
});

export const frameOf = (run: SoakRun): SoakFrame => ({
  bedMeasured: run.blocks.bedC.some(isThere),
  roomMeasured: run.blocks.roomC.some(isThere),
  warmStart: run.warmStart,
  carried: run.carried,
  ramped: run.ramped,
  changes: run.changes.length,
});

export const forcingOf = (run: SoakRun): Forcing =>
  buildForcing(run.blocks, run.beforeC, run.assumedRoomC, run.changes, run.offBlock);

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
    carried: nodes ? { wallC: nodes.wallC, frameC: nodes.frameC } : null,
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

/**
 * Is this minute's air off the way that the last refit foretold? A block's mean lies two minutes back: the bed that has just gone
 * off would look like air that has come to rest.
 */
function isAdrift({ summary, summaryMs, offBlock }: SoakRun, { airC, masked, endMs }: Minute): boolean {
  if (!summary || offBlock !== null || masked || !isThere(airC)) return false;
  const [now, soon] = [summary.path[0]!, summary.path[1]!];
  const share = (endMs - 0.5 * MINUTE_MS - summaryMs) / 1000 / soon.aheadS;
  return Math.abs(airC - now.airC.p50 - share * (soon.airC.p50 - now.airC.p50)) > ADRIFT_C;
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
  run.slopeCPer10Min = recentSlopeCPer10Min(blocks, SLOPE_BLOCKS, LEAST_SLOPE_BLOCKS);
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
  run.fits.push({ posterior: answer.posterior, blocks: blocks.airC.length, aheadSdC: summary.aheadSdC });
  if (run.fits.length > KEPT_FITS) run.fits.shift();
  const jump =
    run.offBlock === null ? findJump(blocks, answer.fitted, answer.posterior.meanSquare, run.changes) : null;
  if (jump !== null) addChange(run, jump);
  const finding = decideSteady(run.steadySinceMs !== null, {
    pSteady: summary.pSteady,
    slopeCPer10Min: run.slopeCPer10Min,
    driftLimitCPer10Min: setup.readyDriftCPer10Min,
    heat: run.offBlock === null ? 'on' : 'off',
    quiet: blocks.masked[blocks.masked.length - 1] ? 'door' : run.straying ? 'straying' : 'quiet',
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

export const blocksSinceChange = (run: SoakRun): number =>
  run.changes.length === 0 ? SETTLING_BLOCKS : run.blocks.airC.length - run.changes[run.changes.length - 1]!;

/** Fan, vent, or a bed that went off unseen. */
function noteChange(setup: SoakSetup, run: SoakRun): void {
  const { blocks } = run;
  const count = blocks.airC.length;
  const bedSeen = isThere(blocks.bedC[count - 1]!);
  const shareLeft = shareOfRise(run);
  const slope = recentSlopeCPer10Min(blocks, SLOPE_BLOCKS, LEAST_SLOPE_BLOCKS);
  if (run.offBlock !== null) {
    run.straying = false;
    const level = slope !== null && Math.abs(slope) < setup.readyDriftCPer10Min;
    if (!bedSeen && level && shareLeft > ON_SHARE) {
      // It fell and stayed up: a fan it was.
      addChange(run, run.offBlock);
      run.offBlock = null;
    }
    return;
  }
  if (!bedSeen && fellAsOff(run)) {
    run.offBlock = fallBegan(blocks);
    run.changes = run.changes.filter((block) => block < run.offBlock! - CHANGE_BLOCKS);
    run.straying = false;
    run.fits = [];
    return;
  }
  const finding = findChange(blocks, forcingOf(run), frameOf(run), run.fits);
  run.straying = finding.outcome !== 'as-expected';
  if (finding.outcome === 'changed') addChange(run, finding.block);
  const fallen = slope !== null && slope < 0 && shareLeft < OFF_SHARE;
  if (!bedSeen && fallen && run.changes.length > 0) run.offBlock = run.changes.pop()!;
}

/** No fan takes so much of the rise within twelve minutes: the bed's own heat is gone. */
function fellAsOff(run: SoakRun): boolean {
  const { airC, masked } = run.blocks;
  const last = airC.length - 1;
  const first = last - FALL_BLOCKS;
  if (first < 0) return false;
  for (let i = first; i <= last; i++) if (!isThere(airC[i]!) || masked[i]) return false;
  const roomC = forcingOf(run).roomC[last]!;
  return airC[first]! - airC[last]! > OFF_FALL_SHARE * Math.max(LEAST_RISE_C, airC[first]! - roomC);
}

/** The first of the last blocks that fell by more than a tenth of what they all did. */
function fallBegan({ airC }: Blocks): number {
  const last = airC.length - 1;
  const first = last - FALL_BLOCKS;
  const fallC = airC[first]! - airC[last]!;
  for (let i = first + 1; i < last; i++) if (airC[i - 1]! - airC[i]! > 0.1 * fallC) return i;
  return last;
}

function addChange(run: SoakRun, block: number): void {
  // A change that is still being lived through is found again from its own middle: it stays the one it was.
  const latest = run.changes[run.changes.length - 1];
  run.fits = [];
  if (latest !== undefined && block - latest < 2 * CHANGE_BLOCKS) return;
  run.changes.push(block);
  if (run.changes.length > MOST_CHANGES) {
    run.changes.shift();
    run.posterior = null;
  }
}

/** Of the highest rise above the room, how much is left. */
function shareOfRise(run: SoakRun): number {
  const forcing = forcingOf(run);
  const roomC = forcing.roomC[forcing.count - 1]!;
  return (forcing.airC[forcing.count - 1]! - roomC) / Math.max(1, run.highestAirC - roomC);
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
  run.carried = { wallC: bench.nodes.wallC, frameC: bench.nodes.frameC };
  run.beforeC = forcing.airC[DROPPED_BLOCKS - 1]!;
  run.ramped = true;
  dropOldBlocks(run.blocks, DROPPED_BLOCKS);
  run.startMs += DROPPED_BLOCKS * BLOCK_S * 1000;
  run.changes = run.changes.map((block) => Math.max(0, block - DROPPED_BLOCKS));
  if (run.offBlock !== null) run.offBlock = Math.max(0, run.offBlock - DROPPED_BLOCKS);
  run.fits = [];
}
