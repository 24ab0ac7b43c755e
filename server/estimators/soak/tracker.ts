/**
 * One chamber, from reading to answer. For whoever drives it:
 *
 *   const tracker = createSoakTracker(setup, atMs)              // or createSoakTracker(setup, atMs, saved)
 *   tracker.observe({ atMs, airTemperatureC, bedTemperatureC, surfaceTemperatureC })   // the last two where measured
 *   tracker.observeRoom({ atMs, airTemperatureC })
 *   tracker.event({ kind: 'door', atMs })
 *   const estimate = tracker.advance(atMs)                      // each tick: runs any refit that is due
 *   tracker.save()                                              // JSON; hand it back as `saved`
 *
 * Times never go back: an earlier one counts as the latest. Readings fall into whole minutes and refits on every fourth minute of
 * a heat-up, so that neither the rhythm of ticks nor of records changes a number. Nothing here asks a clock or draws
 * unseeded chance.
 */
import { closeMinute, createOpenMinute, MINUTE_MS } from './blocks.ts';
import { tellDoor, watchDoor } from './doors.ts';
import { seedOf, standardDraws } from './draws.ts';
import { describeSoak, type SoakEstimate } from './estimate.ts';
import type { SoakSetup } from './priors.ts';
import { takeMinute } from './run-life.ts';
import { createSoakState, type SoakRun, type SoakState } from './state.ts';

/** One set of values from the chamber. Null and absent: not measured. */
export interface ChamberReading {
  readonly atMs: number;
  readonly airTemperatureC: number | null;
  readonly bedTemperatureC?: number | null;
  /** Of a part. */
  readonly surfaceTemperatureC?: number | null;
}

export interface RoomTemperature {
  readonly atMs: number;
  readonly airTemperatureC: number | null;
}

/** A door told by hand or by a switch; one seen in the air needs no telling. */
export interface SoakEvent {
  readonly kind: 'door';
  readonly atMs: number;
}

export interface SoakTracker {
  observe(reading: ChamberReading): void;
  observeRoom(reading: RoomTemperature): void;
  event(event: SoakEvent): void;
  advance(atMs: number): SoakEstimate;
  save(): SoakState;
}

/** Unheard for longer than this, minutes are not gone through one by one: a new start. */
const LONGEST_GAP_MS = 24 * 3600_000;

const isNumber = (value: number | null | undefined): value is number =>
  value !== null && value !== undefined && Number.isFinite(value);

export function createSoakTracker(setup: SoakSetup, atMs: number, saved?: SoakState): SoakTracker {
  let state: SoakState = saved ? structuredClone(saved) : createSoakState(atMs);
  let standard: { seed: string; values: Float64Array } | null = null;

  const draws = (run: SoakRun): Float64Array => {
    const seed = seedOf(setup.station, run.heatOnMs);
    if (standard?.seed !== seed) standard = { seed, values: standardDraws(seed) };
    return standard.values;
  };

  /** Closes the minutes that end by a time. */
  const settle = (wantedMs: number): number => {
    const toMs = Math.max(wantedMs, state.atMs);
    if (toMs - state.openedMs > LONGEST_GAP_MS) state = { ...createSoakState(toMs), learned: state.learned };
    while (state.openedMs + MINUTE_MS <= toMs) {
      const endMs = state.openedMs + MINUTE_MS;
      if (state.door.openSinceS !== null) state.open.masked = 1;
      const minute = closeMinute(state.open, endMs);
      state.open = createOpenMinute();
      state.openedMs = endMs;
      state.atMs = Math.max(state.atMs, endMs);
      takeMinute(setup, state, minute, draws);
    }
    state.atMs = toMs;
    return toMs;
  };

  return {
    observe(reading) {
      const at = settle(reading.atMs);
      const { open } = state;
      if (isNumber(reading.airTemperatureC)) {
        state.heardMs = at;
        state.heardC = reading.airTemperatureC;
        if (watchDoor(state.door, at / 1000, reading.airTemperatureC) !== 'shut') open.masked = 1;
        open.air += reading.airTemperatureC;
        open.airCount++;
      }
      if (isNumber(reading.bedTemperatureC)) {
        open.bed += reading.bedTemperatureC;
        open.bedCount++;
      }
      if (isNumber(reading.surfaceTemperatureC)) {
        state.surfaceMs = at;
        state.surfaceC = reading.surfaceTemperatureC;
        open.surface += reading.surfaceTemperatureC;
        open.surfaceCount++;
      }
    },
    observeRoom(reading) {
      settle(reading.atMs);
      if (!isNumber(reading.airTemperatureC)) return;
      state.open.room += reading.airTemperatureC;
      state.open.roomCount++;
    },
    event(event) {
      const at = settle(event.atMs);
      tellDoor(state.door, at / 1000, state.heardC);
      state.open.masked = 1;
    },
    advance(wantedMs) {
      const at = settle(wantedMs);
      return describeSoak(setup, state, at);
    },
    save: () => structuredClone(state),
  };
}
