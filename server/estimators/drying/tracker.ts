/**
 * One spool at one station, from reading to answer. For whoever drives it:
 *
 *   const tracker = createDryingTracker(setup, atMs)            // or createDryingTracker(setup, atMs, saved)
 *   tracker.observeBox({ atMs, airTemperatureC, relativeHumidityPercent, massG, cellTemperatureC })
 *   tracker.observeRoom({ atMs, airTemperatureC, relativeHumidityPercent })
 *   tracker.event({ kind: 'weigh-in', atMs, massG, resolutionG })     // and lid, run-start, spool-in, spool-out, bagged
 *   const estimate = tracker.advance(atMs)                      // each tick: runs any refit that is due
 *   tracker.save()                                              // JSON; hand it back as `saved`
 *
 * Times never go back: an earlier one counts as the latest. Refits fall on whole 600 s of run time and see exactly the
 * readings up to there, so that neither the rhythm of ticks nor of records changes a number. Nothing here asks a clock
 * or draws unseeded chance.
 */

import { chooseSupply } from './air-supply.ts';
import { decide } from './decision.ts';
import { seedOf, standardDraws } from './draws.ts';
import { type DryingEstimate, describe } from './estimate.ts';
import { PATH_S } from './forecast.ts';
import { findHeating } from './heating.ts';
import { cellEndS, closeCellsUntil, createHistory, type History, hasValue, markLid } from './history.ts';
import { carriedStart, carryHolding, createHoldingBench, type HoldingBench, readHolding } from './holding.ts';
import { type BoxReading, isNumber, type RoomReading, takeBox, takeRoom } from './intake.ts';
import { learnFrom } from './learning.ts';
import { createLidWatch, watchLid } from './lids.ts';
import type { DryingSetup, Priors } from './priors.ts';
import { refit } from './refit.ts';
import { createDryingState, type DryingState, fitFrom, type RunState } from './state.ts';
import { summarise } from './summary.ts';
import { cellStartS, heldAir, keepMinutes, openRun } from './watching.ts';
import { takeWeighIn, undoWeighIn } from './weigh-ins.ts';

export type DryingEvent =
  | { readonly kind: 'weigh-in'; readonly atMs: number; readonly massG: number; readonly resolutionG: number }
  | { readonly kind: 'lid'; readonly atMs: number; readonly openS?: number }
  | {
      readonly kind: 'run-start' | 'spool-in' | 'spool-out' | 'bagged' | 'weigh-in-undone';
      readonly atMs: number;
    };

export interface DryingTracker {
  observeBox(reading: BoxReading): void;
  observeRoom(reading: RoomReading): void;
  event(event: DryingEvent): void;
  advance(atMs: number): DryingEstimate;
  /** Weigh-ins that could be taken back. */
  weighIns(): number;
  save(): DryingState;
}

/** Seconds of run time between refits. */
export const REFIT_S = 600;
/** Cool for this long and then heated again is a new run. */
const NEW_RUN_AFTER_S = 6 * 3600;
/** Kept shorter than this before heating, what was stated of the store stands. */
const HELD_COUNTS_MS = 12 * 3600_000;

export function createDryingTracker(setup: DryingSetup, atMs: number, saved?: DryingState): DryingTracker {
  const state: DryingState = saved ? structuredClone(saved) : createDryingState(atMs);
  let standard: { seed: string; values: Float64Array } | null = null;
  let holdingBench: HoldingBench | null = null;

  const draws = (): Float64Array => {
    const seed = seedOf(setup.station, setup.spool, state.run?.startMs ?? state.seedMs);
    if (standard?.seed !== seed) standard = { seed, values: standardDraws(seed) };
    return standard.values;
  };

  const priorsOf = (run: RunState | null): Priors => ({
    setup,
    supply: run?.supply ?? setup.airSupply ?? 'room',
    warmStart: run?.warmStart ?? state.lastPriors?.warmStart ?? false,
    carried: run ? run.carried : (state.lastPriors?.carried ?? null),
    roomKnown: state.lastRoom !== null,
    learnedMean: state.learnedMean,
    learnedSd: state.learnedSd,
  });

  const heldBench = (): HoldingBench => {
    holdingBench ??= createHoldingBench(priorsOf(null), state.lastPosterior, draws());
    return holdingBench;
  };

  /** Holding members up to a time, in whole steps of ten minutes. */
  const carryHeld = (untilMs: number): void => {
    state.heldMs ??= untilMs;
    state.holdingSinceMs ??= state.heldMs;
    while (state.heldMs + REFIT_S * 1000 <= untilMs) {
      state.heldMs += REFIT_S * 1000;
      const air = heldAir(state);
      if (state.phase !== 'bagged' && air) carryHolding(heldBench(), state.holding, air, REFIT_S);
      summariseHeld(state.heldMs);
    }
  };

  const summariseHeld = (ofMs: number): void => {
    const answers = readHolding(heldBench(), state.holding, heldAir(state), setup.limitWtPercent, draws());
    state.summary = summarise(answers, setup.limitWtPercent, PATH_S, state.phase !== 'bagged');
    state.summaryMs = ofMs;
  };

  const beginRun = (fromCell: number, warmStart: boolean): void => {
    const watch = state.watch!;
    const startMs = watch.startMs + 1000 * cellStartS(watch, fromCell);
    const held =
      state.lastPosterior !== null ||
      (state.holdingSinceMs !== null && startMs - state.holdingSinceMs > HELD_COUNTS_MS);
    const carried = held
      ? carriedStart(readHolding(heldBench(), state.holding, null, setup.limitWtPercent, draws()))
      : null;
    if (state.lastPosterior) learnFrom(state);
    state.run = openRun(state, watch, fromCell, warmStart, carried, setup.airSupply ?? 'room');
    state.phase = 'running';
    state.watch = null;
    state.lastPosterior = null;
    holdingBench = null;
  };

  /** The run is over: its members are held from now on. */
  const endRun = (phase: DryingState['phase'], ofMs: number): void => {
    const run = state.run;
    if (run) {
      if (run.posterior) {
        const answers = fitAgain(run).answers;
        state.holding = { modes: Array.from(answers.modes), temperatureC: state.heardC };
        state.lastPosterior = run.posterior;
        state.lastPriors = {
          warmStart: run.warmStart,
          carried: run.carried,
          roomKnown: state.lastRoom !== null,
        };
        state.seedMs = run.startMs;
      }
      state.run = null;
      holdingBench = null;
    }
    state.phase = phase;
    state.heldMs = ofMs;
    state.holdingSinceMs = ofMs;
    state.watch = null;
  };

  const fitAgain = (run: RunState) =>
    refit({
      priors: priorsOf(run),
      cells: run.history.cells,
      weighIns: run.weighIns,
      rhStepPercent: run.history.rhStepPercent,
      beforeC: run.beforeC,
      before: fitFrom(run),
      standard: draws(),
    });

  /** Closes the cells that end before a time and runs the refits that fall before it. */
  const settle = (untilMs: number): void => {
    if (state.phase === 'watching') settleWatch(untilMs);
    if (state.phase === 'out' || state.phase === 'bagged') carryHeld(untilMs);
    const run = state.run;
    if (!run) return;
    const nowS = (untilMs - run.startMs) / 1000;
    for (;;) {
      const dueS = (Math.floor(run.history.openedS / REFIT_S + 1e-9) + 1) * REFIT_S;
      const passed = dueS < nowS;
      const before = run.history.cells.endS.length;
      closeCellsUntil(run.history, passed ? dueS : nowS - 1e-6);
      noteTemperatures(run, before);
      if (!passed) return;
      const cells = run.history.cells;
      const heard = cells.airC.some((airC, i) => cells.endS[i]! > run.fittedS && hasValue(airC));
      if (heard) runRefit(run, dueS);
      if (state.run !== run) return;
    }
  };

  const runRefit = (run: RunState, dueS: number): void => {
    run.supply = chooseSupply(run, setup);
    const answer = fitAgain(run);
    run.posterior = answer.posterior;
    delete run.fitAnew;
    run.fittedS = dueS;
    state.summary = summarise(
      answer.answers,
      setup.limitWtPercent,
      answer.forecast.pathS,
      run.supply !== 'closed',
    );
    state.summaryMs = run.startMs + dueS * 1000;
    decide(run, state.summary);
  };

  /** Hottest and cool times from the cells just closed; heated again after long cool ends the run. */
  const noteTemperatures = (run: RunState, from: number): void => {
    const { cells } = run.history;
    for (let i = Math.min(from, cells.endS.length); i < cells.endS.length; i++) {
      const airC = cells.airC[i]!;
      if (!hasValue(airC)) continue;
      run.hottestC = Math.max(run.hottestC, airC);
      const roomC = state.lastRoom?.airC ?? 23;
      const cool = airC < Math.max(roomC + 6, 30) && airC < run.hottestC - 8;
      if (cool) run.coolSinceS ??= cells.endS[i]!;
      else {
        const coolS = run.coolSinceS === null ? 0 : cells.endS[i]! - run.coolSinceS;
        run.coolSinceS = null;
        if (coolS > NEW_RUN_AFTER_S && run.posterior) {
          endRun('watching', run.startMs + (cells.endS[i]! - cells.lengthS[i]!) * 1000);
          return;
        }
      }
    }
  };

  const settleWatch = (untilMs: number): void => {
    state.watch ??= { startMs: untilMs, history: createHistory(true), sawCold: false };
    const watch = state.watch;
    const { history } = watch;
    // Minutes only: the grid of a run's first hour.
    while (watch.startMs + (history.openedS + 60) * 1000 < untilMs) {
      closeCellsUntil(history, history.openedS + 60);
      const finding = findHeating(history.cells, watch.sawCold || state.lastPosterior !== null);
      if (finding.outcome !== 'unheated') {
        beginRun(finding.fromCell, finding.outcome === 'warm-already');
        return;
      }
      if (history.cells.airC.some((airC) => hasValue(airC) && airC < 32)) watch.sawCold = true;
      keepMinutes(watch);
    }
    carryHeld(untilMs);
  };

  const observeAt = (atMs: number): number => {
    const at = Math.max(atMs, state.atMs);
    settle(at);
    state.atMs = at;
    return at;
  };

  const openHistory = (): History | null => state.run?.history ?? state.watch?.history ?? null;
  const originMs = (): number => state.run?.startMs ?? state.watch?.startMs ?? state.atMs;

  return {
    observeBox(reading) {
      const at = observeAt(reading.atMs);
      if (state.phase === 'out' || state.phase === 'bagged') return;
      const history = openHistory();
      if (!history) return;
      if (isNumber(reading.airTemperatureC)) {
        state.heardMs = at;
        state.heardC = reading.airTemperatureC;
        const { airTemperatureC, relativeHumidityPercent } = reading;
        const openS = watchLid(state.lid, at / 1000, airTemperatureC, relativeHumidityPercent ?? null);
        if (openS > 0) markLid(history, (at - originMs()) / 1000, openS);
      }
      takeBox(history, reading);
    },
    observeRoom(reading) {
      const at = observeAt(reading.atMs);
      if (!isNumber(reading.airTemperatureC) || !isNumber(reading.relativeHumidityPercent)) return;
      state.lastRoom = {
        atMs: at,
        airC: reading.airTemperatureC,
        rhPercent: reading.relativeHumidityPercent,
      };
      const history = openHistory();
      if (history) takeRoom(history, reading.airTemperatureC, reading.relativeHumidityPercent ?? null);
    },
    event(event) {
      const at = observeAt(event.atMs);
      if (event.kind === 'weigh-in') {
        takeWeighIn(state, at, event.massG, event.resolutionG);
      } else if (event.kind === 'weigh-in-undone') {
        undoWeighIn(state);
      } else if (event.kind === 'lid') {
        const history = openHistory();
        if (history) markLid(history, (at - originMs()) / 1000, event.openS ?? 30);
      } else if (event.kind === 'run-start') {
        if (state.phase !== 'running') {
          if (state.phase !== 'watching') endRun('watching', at);
          settleWatch(at);
          startByHand(at);
        }
      } else if (event.kind === 'spool-in') {
        if (state.phase === 'out' || state.phase === 'bagged') endRun('watching', at);
        // A spool put in while the box was running: what ran before was the box without it.
        if (state.phase === 'running') {
          state.run = null;
          endRun('watching', at);
        }
        settleWatch(at);
        if (state.watch) state.watch.sawCold = true;
      } else endRun(event.kind === 'bagged' ? 'bagged' : 'out', at);
    },
    advance(atMs) {
      const at = Math.max(atMs, state.atMs);
      settle(at);
      state.atMs = at;
      if (!state.summary) summariseHeld(at);
      return describe(setup, state, at);
    },
    weighIns: () => state.weighIns.length,
    save: () => structuredClone(state),
  };

  function startByHand(at: number): void {
    const watch = state.watch;
    if (!watch) return;
    // The run begins with the minute that is open now: an empty cell before it stands for the moment of starting.
    closeCellsUntil(watch.history, cellEndS(watch.history, watch.history.openedS));
    beginRun(watch.history.cells.endS.length - 1, false);
    state.lid = createLidWatch();
    state.atMs = Math.max(state.atMs, at);
  }
}

export type { DryingEstimate, DryingSetup };
