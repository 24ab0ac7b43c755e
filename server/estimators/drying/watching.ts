/** Between runs: what is kept of an unheated box, and how a run opens out of it. */
import type { AirSupply } from '../../physics/floor.ts';
import { WATCHED_MINUTES } from './heating.ts';
import { type Cells, createHistory, hasValue } from './history.ts';
import type { CarriedStart } from './priors.ts';
import type { DryingState, RunState } from './state.ts';

export type Watch = NonNullable<DryingState['watch']>;

/** Start of a watched minute, s after the watch began. */
export const cellStartS = (watch: Watch, cell: number): number =>
  watch.history.cells.endS[cell]! - watch.history.cells.lengthS[cell]!;

/** Warmer than any room, °C: a box first seen so says nothing of the pack, which came from the room. */
const NO_ROOM_C = 32;

/** The run that begins with a watched minute; that minute and all since go with it. */
export function openRun(
  state: DryingState,
  watch: Watch,
  fromCell: number,
  warmStart: boolean,
  carried: CarriedStart | null,
  supply: AirSupply,
): RunState {
  const { cells } = watch.history;
  const offsetS = cellStartS(watch, fromCell);
  const history = createHistory();
  for (const name of Object.keys(history.cells) as (keyof Cells)[])
    history.cells[name] = cells[name].slice(fromCell);
  history.cells.endS = history.cells.endS.map((endS) => endS - offsetS);
  history.open = watch.history.open;
  history.openedS = watch.history.openedS - offsetS;
  history.lidAtS = watch.history.lidAtS - offsetS;
  if (watch.history.rhStepPercent !== undefined) history.rhStepPercent = watch.history.rhStepPercent;
  const startMs = watch.startMs + offsetS * 1000;
  const before = cells.airC.slice(0, fromCell + 1).filter(hasValue);
  const lastBefore = before[before.length - 1] ?? state.heardC;
  return {
    startMs,
    warmStart: warmStart && carried === null,
    carried,
    beforeC: lastBefore > NO_ROOM_C ? (state.lastRoom?.airC ?? 23) : lastBefore,
    history,
    weighIns: state.weighIns.map(({ atMs, massG, resolutionG }) => ({
      runS: Math.max(0, (atMs - startMs) / 1000),
      massG,
      resolutionG,
    })),
    supply,
    posterior: null,
    fittedS: 0,
    dryRefits: 0,
    dryCalledS: null,
    hottestC: Number.NEGATIVE_INFINITY,
    coolSinceS: null,
  };
}

/** Air that a kept spool lies in; null when nothing is known of it. */
export function heldAir(state: DryingState): { airC: number; rhPercent: number } | null {
  if (state.phase === 'out')
    return state.lastRoom
      ? { airC: state.lastRoom.airC, rhPercent: state.lastRoom.rhPercent }
      : { airC: 23, rhPercent: 45 };
  if (state.phase === 'bagged') return null;
  const cells = state.watch?.history.cells;
  const airC = cells?.airC.findLast(hasValue);
  const rhPercent = cells?.rhPercent.findLast(hasValue);
  return airC === undefined || rhPercent === undefined ? null : { airC, rhPercent };
}

/** Drops minutes beyond those that are looked back over. */
export function keepMinutes(watch: Watch): void {
  const { cells } = watch.history;
  const over = cells.endS.length - WATCHED_MINUTES;
  if (over <= 0) return;
  for (const name of Object.keys(cells) as (keyof Cells)[]) cells[name] = cells[name].slice(over);
}
