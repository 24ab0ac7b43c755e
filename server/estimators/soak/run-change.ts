/** What has been switched in a heat-up without a word: a fan, a vent, or the bed itself. */
import { type Blocks, isThere, MINUTE_MS, type Minute } from './blocks.ts';
import { CHANGE_BLOCKS, findChange, LEAST_FITTED_BLOCKS } from './change.ts';
import { SETTLING_BLOCKS } from './decision.ts';
import { MOST_CHANGES, type SoakSetup } from './priors.ts';
import { forcingOf, frameOf, slopeOf } from './run-frame.ts';
import type { SoakRun } from './state.ts';

/** A minute this far from where the last refit put it is no thermostat's ripple, °C. */
const ADRIFT_C = 0.5;
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

/**
 * Is this minute's air off the way that the last refit foretold? A block's mean lies two minutes back: the bed that has just gone
 * off would look like air that has come to rest.
 */
export function isAdrift(
  { summary, summaryMs, offBlock, warmStart, blocks }: SoakRun,
  { airC, masked, endMs }: Minute,
): boolean {
  if (!summary || offBlock !== null || masked || !isThere(airC)) return false;
  // On its first steep way up the forecast is little but the prior's.
  if (!warmStart && blocks.airC.length < LEAST_FITTED_BLOCKS) return false;
  const [now, soon] = [summary.path[0]!, summary.path[1]!];
  const share = (endMs - 0.5 * MINUTE_MS - summaryMs) / 1000 / soon.aheadS;
  return Math.abs(airC - now.airC.p50 - share * (soon.airC.p50 - now.airC.p50)) > ADRIFT_C;
}

export const blocksSinceChange = (run: SoakRun): number =>
  run.changes.length === 0 ? SETTLING_BLOCKS : run.blocks.airC.length - run.changes[run.changes.length - 1]!;

/** Fan, vent, or a bed that went off unseen. */
export function noteChange(setup: SoakSetup, run: SoakRun): void {
  const { blocks } = run;
  const count = blocks.airC.length;
  const bedSeen = isThere(blocks.bedC[count - 1]!);
  const shareLeft = shareOfRise(run);
  const slope = slopeOf(run);
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

export function addChange(run: SoakRun, block: number): void {
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
