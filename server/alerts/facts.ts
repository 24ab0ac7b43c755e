/**
 * What alarms and news are judged on: plain facts of stations, spools, jobs and the program, handed in once a second.
 * A fact that cannot be had now is `missing` with a reason; one that does not exist here (no ceiling, no soak) is null.
 */
import type { QuantileBand, Role } from '../records.ts';

/** `not-yet`: nothing has been heard of it since the start, or too little to say it. */
export type MissingReason = 'quiet' | 'fault' | 'not-yet';
export type Known<T> =
  | { readonly kind: 'known'; readonly value: T }
  | { readonly kind: 'missing'; readonly reason: MissingReason };

export const known = <T>(value: T): Known<T> => ({ kind: 'known', value });
export const missing = (reason: MissingReason): Known<never> => ({ kind: 'missing', reason });

/** A fall in a heated place's air that only a lid or a door makes, and that has not been made up. */
export interface OpeningFact {
  readonly sinceMs: number;
  readonly beforeC: number;
}

/** Of a drybox: what its spools' materials and reels bear. */
export interface CeilingFact {
  readonly outcome: 'clear' | 'near' | 'near-ahead' | 'passed' | 'cannot-tell';
  readonly airC: number;
  /** The lowest that applies; null where nothing is listed. */
  readonly ceilingC: number | null;
  /** Whose it is and why, as the end of a sentence. */
  readonly reason: string;
  readonly finalAirC: QuantileBand | null;
  readonly crossesAtMs: number | null;
}

export interface SoakFact {
  readonly state: 'cold' | 'climbing' | 'steady' | 'disturbed' | 'cooling' | 'unknown';
  /** Names the heat-up; null while there is none. */
  readonly run: string | null;
  readonly airC: number | null;
  readonly finalAirC: QuantileBand | null;
  readonly driftCPer10Min: number | null;
  readonly driftLimitCPer10Min: number;
  readonly steadySinceMs: number | null;
  /** Since when the chamber may be opened; null: not yet, or it was not heated. */
  readonly openSinceMs: number | null;
}

export interface StationFacts {
  readonly id: string;
  readonly role: Role;
  /** The board it last spoke through; null before it did. */
  readonly source: string | null;
  /** Heard at some time, be it before a restart. */
  readonly everHeard: boolean;
  readonly heardMs: number | null;
  readonly quiet: boolean;
  /** Keys whose newest value is a fault or implausible. */
  readonly faultyKeys: Known<readonly string[]>;
  readonly airC: Known<number>;
  /** Median of the last hour's minutes. */
  readonly hourMedianC: Known<number>;
  /** When the air was last near that median; null: it is. */
  readonly coolingSinceMs: number | null;
  readonly opening: Known<OpeningFact | null>;
  /** Ends of what the sensor's tolerance leaves; null where there is no humidity. */
  readonly dewPointC: Known<{ readonly lowC: number | null; readonly highC: number }> | null;
  /** Of the coldest surface known there; null where none is measured or follows from the room. */
  readonly coldestSurfaceC: Known<number> | null;
  readonly ceiling: Known<CeilingFact> | null;
  readonly soak: Known<SoakFact> | null;
}

export interface DryingFact {
  readonly state: 'idle' | 'warming' | 'drying' | 'levelling' | 'dry' | 'regaining' | 'holding' | 'unknown';
  /** Names the drying run; null while there is none. */
  readonly run: string | null;
  readonly limitWtPercent: number;
  readonly moistureWtPercent: QuantileBand;
  readonly wettestTurnWtPercent: QuantileBand;
  readonly readyOuterG: QuantileBand;
  readonly netMassG: number;
  readonly floorWtPercent: QuantileBand | null;
  readonly pDry: number;
  readonly pNever: number;
  readonly dryCalledMs: number | null;
}

export interface SpoolFacts {
  readonly id: string;
  readonly station: string;
  /** Since when it lies out, as entered; null: it does not. */
  readonly outSinceMs: number | null;
  readonly drying: Known<DryingFact>;
}

/** Something out of its window now; `worst` and `limit` in `unit`, null where the kind has no number. */
export interface Excursion {
  readonly what: 'feed-air' | 'turn-too-wet' | 'chamber-off' | 'door' | 'quiet' | 'pause';
  readonly sinceMs: number;
  readonly worst: number | null;
  readonly limit: number | null;
  readonly unit: string | null;
}

export interface JobFacts {
  readonly id: string;
  readonly name: string;
  readonly chamber: string | null;
  readonly spool: string | null;
  readonly phase: 'planned' | 'running' | 'ended';
  readonly mayStart: Known<{ readonly now: boolean; readonly probability: number }>;
  /** Open now. */
  readonly excursions: Known<readonly Excursion[]>;
}

export interface ProgramFacts {
  /** A step of the wall clock in the last minutes. */
  readonly clockStep: { readonly atMs: number; readonly seconds: number } | null;
  /** Why nothing can be written, as a sentence. */
  readonly storageTrouble: string | null;
}

export interface Facts {
  readonly stations: readonly StationFacts[];
  readonly spools: readonly SpoolFacts[];
  readonly jobs: readonly JobFacts[];
  readonly program: ProgramFacts;
}
