/**
 * What the engine says, as plain values: the rows that `replay` writes, that history keeps and that the page is shown.
 * Times are RFC 3339 UTC with milliseconds in records and epoch milliseconds (…Ms) in state.
 */
import type { Fault } from '../firmware-protocol/line.ts';

/** What a station is for. `storage` is a box without heat. */
export const ROLES = ['drybox', 'storage', 'chamber', 'room', 'electronics'] as const;
export type Role = (typeof ROLES)[number];

/** One line of a board, taken in. */
export interface ReadingRecord {
  readonly at: string;
  readonly kind: 'reading';
  readonly station: string;
  readonly boot: string;
  readonly seq: number;
  readonly uptimeMs: number;
  /** The line carried a checksum and it held. */
  readonly checked: boolean;
  readonly values: Readonly<Record<string, number>>;
  readonly faults: Readonly<Record<string, Fault>>;
  /** Values that the station's calibration changed, as they are used; `values` is what the board said. Absent when none. */
  readonly calibrated?: Readonly<Record<string, number>>;
  /** Keys whose value is outside its plausible range: kept and shown, not used. Absent when there are none. */
  readonly flagged?: readonly string[];
}

/** A value for history and charts. `key` is a reading's key, or a derived one: `dew` °C, `vapour`, `vapour_low`, `vapour_high` g/m³. */
export interface Sample {
  readonly station: string;
  readonly key: string;
  readonly atMs: number;
  readonly value: number;
  /** Outside its plausible range: shown flagged, never averaged in. */
  readonly flagged: boolean;
}

/** What happened that a log, and later an alert, should know of. */
export interface Transition {
  readonly kind:
    | 'station-heard'
    | 'station-quiet'
    | 'unknown-station'
    | 'board-seen'
    | 'board-reset'
    | 'board-restarted'
    | 'lines-lost'
    | 'clock-stepped'
    | 'spool-state'
    | 'soak-state'
    | 'job-state';
  readonly atMs: number;
  readonly station?: string;
  readonly source?: string;
  readonly detail: string;
  /** A log tells it as a warning. */
  readonly troubling?: boolean;
}

/** What a sensor's tolerance leaves of a dew point: a number, an interval, or only "at or below". */
export interface DewPointBand {
  readonly kind: 'number' | 'interval' | 'at-most';
  /** Null where the tolerance reaches down to no vapour at all, or below −40 °C. */
  readonly lowC: number | null;
  readonly highC: number;
}

/** Low and high end of what the sensor's tolerance allows. */
export interface Band {
  readonly low: number;
  readonly high: number;
}

/** The air at a station: means of the minute before, and what follows from them. */
export interface AirRecord {
  readonly at: string;
  readonly kind: 'air';
  readonly station: string;
  readonly airTemperatureC: number;
  /** As the sensor says it, unclipped; null where the station has no humidity. */
  readonly relativeHumidityPercent: number | null;
  readonly dewPointC: number | null;
  readonly dewPointBand: DewPointBand | null;
  readonly frostPointC: number | null;
  readonly vapourDensityGPerM3: number | null;
  readonly vapourDensityBandGPerM3: Band | null;
}

export interface QuantileBand {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

/** Why a time is null: the floor is at or above the limit; later than seven days; no drying run goes on. */
export type NoTimeReason = 'never' | 'beyond' | 'no-run';
export type ReasonBand = {
  readonly p05?: NoTimeReason;
  readonly p50?: NoTimeReason;
  readonly p95?: NoTimeReason;
};
export interface TimeBand {
  readonly p05: string | null;
  readonly p50: string | null;
  readonly p95: string | null;
}

/** How wet a spool is, how much of it is usable, and when it is dry. Moisture is wt % of dry polymer. */
export interface DryingRecord {
  readonly at: string;
  readonly kind: 'drying';
  readonly station: string;
  readonly spool: string;
  readonly state: 'idle' | 'warming' | 'drying' | 'levelling' | 'dry' | 'regaining' | 'holding' | 'unknown';
  readonly limitWtPercent: number;
  readonly moistureWtPercent: QuantileBand;
  readonly wettestTurnWtPercent: QuantileBand;
  /** Grams from the outside in whose every turn is under the limit. */
  readonly readyOuterG: QuantileBand;
  readonly dryAt: TimeBand;
  readonly dryAtReason: ReasonBand;
  readonly dryThroughAt: TimeBand;
  readonly dryThroughAtReason: ReasonBand;
  readonly floorWtPercent: QuantileBand | null;
  readonly pDry: number;
  readonly pNever: number;
}

/** `news` is told once a run and asks nothing; an `alarm` asks for a person. */
export type AlertKind = 'news' | 'alarm';

/**
 * How soon a person is needed. `high`: now, something may be damaged; quiet hours never hold it. `medium`: within the
 * hour, or a run is lost. `low`: when convenient.
 */
export const PRIORITIES = ['high', 'medium', 'low'] as const;
export type Priority = (typeof PRIORITIES)[number];

/** Why a notice is sent. `withdrawn`: a piece of news is no longer true. */
export type NoticeReason = 'first' | 'changed' | 'returned' | 'repeat' | 'withdrawn';

/** The figure that a notice rests on. Low and high are its nine-in-ten band; null where it was measured or counted. */
export interface NoticeNumber {
  readonly label: string;
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly unit: string;
}

/** One thing told to a person. However often it is sent, to however many receivers, its id stays the same. */
export interface Notice {
  /** At most 120 characters of `A-Za-z0-9_.:/-`. */
  readonly id: string;
  readonly at: string;
  readonly rule: string;
  readonly kind: AlertKind;
  readonly priority: Priority;
  /** Null where it is about the program itself. */
  readonly station: string | null;
  readonly spool?: string;
  readonly reason: NoticeReason;
  /** One line: what, and where. */
  readonly headline: string;
  /** Since when, and how sure. */
  readonly text: string;
  /** What to do next. */
  readonly advice: string;
  /** Where heat, fumes or mains are near. */
  readonly caution?: string;
  readonly number: NoticeNumber | null;
}

/** Whether a chamber is soaked, and when. `steadyAt` and `openAt` are null with a reason, as a spool's `dryAt`. */
export interface SoakRecord {
  readonly at: string;
  readonly kind: 'soak';
  readonly station: string;
  readonly state: 'cold' | 'climbing' | 'steady' | 'disturbed' | 'cooling' | 'unknown';
  /** Where the air ends; null without a heat-up. */
  readonly finalAirC: QuantileBand | null;
  readonly steadyAt: TimeBand;
  readonly steadyAtReason: ReasonBand;
  readonly driftCPer10Min: number | null;
  /** How far the frame still is from where it ends. */
  readonly frameLagC: QuantileBand | null;
  readonly pSteady: number;
  readonly openAt: TimeBand;
  readonly openAtReason: ReasonBand;
}

/** A print from its start to its outcome, and when something left its window. */
export interface JobRecord {
  readonly at: string;
  readonly kind: 'job';
  readonly job: string;
  readonly spool: string;
  /** Its chamber; null where none is watched. */
  readonly station: string | null;
  readonly state: 'running' | 'paused' | 'ended';
  readonly startedAt: string;
  readonly endedAt: string | null;
  readonly fedG: number;
  /** Of the turn being fed. */
  readonly fedWtPercent: QuantileBand | null;
  /** P(every turn under the limit as it leaves), as it stood at the start. */
  readonly pSpoolAtStart: number | null;
  readonly excursions: readonly {
    readonly kind: 'feed-air' | 'turn-too-wet' | 'chamber-off' | 'door' | 'quiet' | 'pause';
    readonly station: string | null;
    readonly from: string;
    readonly to: string | null;
    readonly worst: number | null;
    readonly limit: number | null;
  }[];
  readonly outcome: 'good' | 'warped' | 'stringy' | 'weak' | 'stopped' | null;
}

/** What became of an alarm or a piece of news, as replay writes it and history keeps it. */
export interface AlertRecord {
  readonly at: string;
  readonly kind: 'alert';
  readonly rule: string;
  readonly station: string | null;
  readonly spool?: string;
  readonly job?: string;
  /** Of an alarm: a state of IEC 62682, or `no-data` while it cannot be judged. Of news: `told`, `withdrawn`. */
  readonly state: 'normal' | 'active' | 'acknowledged' | 'returned' | 'no-data' | 'told' | 'withdrawn';
  /** Shelved from now on. Absent: it is not. */
  readonly shelved?: true;
  readonly priority: Priority;
  readonly headline: string;
  readonly number: NoticeNumber | null;
}

/** What a person enters, as the capture file holds it: `{"kind":"weigh-in","spool":"gear","massG":1187}`. */
export type UserEntry = { readonly kind: string } & Readonly<Record<string, unknown>>;

/** Last record of a replay. */
export interface SummaryRecord {
  readonly kind: 'summary';
  readonly rows: number;
  readonly readings: number;
  readonly refused: Readonly<Record<string, number>>;
  readonly unknownStations: readonly string[];
  readonly clockStepped: number;
  readonly boards: readonly BoardSummary[];
  /** How often the boards of each source began again, by cause. */
  readonly restarts: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly stations: Readonly<Record<string, StationSummary>>;
}

export interface BoardSummary {
  readonly source: string;
  readonly board: string | null;
  readonly boot: string;
  readonly lines: number;
  /** Lines that the sequence numbers say were sent and never arrived. */
  readonly lost: number;
  readonly duplicates: number;
  readonly late: number;
}

export interface StationSummary {
  readonly readings: number;
  /** By key and fault: `rh.nack`. */
  readonly faults: Readonly<Record<string, number>>;
  /** Values outside their plausible range, by key. */
  readonly flagged: Readonly<Record<string, number>>;
  /** How often it fell quiet. */
  readonly quiet: number;
  readonly values: Readonly<Record<string, { count: number; min: number; mean: number; max: number }>>;
}
