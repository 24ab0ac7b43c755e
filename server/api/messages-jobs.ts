/** The wire of jobs: the start check, the running window, attempts and what differs between two of them. */
import { type Static, Type } from 'typebox';
import { EpochMs, nullable, QuantilesSchema } from './shapes.ts';

const Name = Type.String({ minLength: 1, maxLength: 32, pattern: '^[A-Za-z0-9_-]+$' });
const SettingsSchema = Type.Record(
  Type.String({ minLength: 1, maxLength: 80 }),
  Type.Union([Type.Number(), Type.String({ maxLength: 80 })]),
);

/** A job as it is asked about; a job that has no chamber leaves `chamber` out. */
export const StartQuerySchema = Type.Object({
  spool: Type.String({ minLength: 1, maxLength: 32 }),
  chamber: Type.Optional(Type.String({ minLength: 1, maxLength: 16 })),
  grams: Type.Number({ exclusiveMinimum: 0, maximum: 50_000 }),
  hours: Type.Number({ exclusiveMinimum: 0, maximum: 240 }),
  sure: Type.Optional(Type.Number({ minimum: 0.5, exclusiveMaximum: 1 })),
  /** Air wanted in the chamber. */
  chamberC: Type.Optional(Type.Number({ minimum: 0, maximum: 200 })),
  /** Box air during the job; without it the material's usual less 15 °C, at most 60. */
  boxC: Type.Optional(Type.Number({ minimum: 0, maximum: 150 })),
  exitOpen: Type.Optional(Type.Boolean()),
  /** Tube from box to nozzle; without a length none is counted. */
  tubeM: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 20 })),
  tubeDry: Type.Optional(Type.Boolean()),
  tubeStoodMin: Type.Optional(Type.Number({ minimum: 0, maximum: 100_000 })),
});
export type StartQuery = Static<typeof StartQuerySchema>;

const StartReasonSchema = Type.Union([
  Type.Object({
    kind: Type.Enum(['spool-ready', 'chamber-ready']),
    atMs: EpochMs,
    probability: Type.Number(),
  }),
  Type.Object({
    kind: Type.Literal('decides'),
    what: Type.Enum(['spool', 'chamber', 'neither']),
    otherEarlierMin: nullable(Type.Number()),
  }),
  Type.Object({
    kind: Type.Literal('bed-on-by'),
    atMs: EpochMs,
    /** What the chamber's time rests on. */
    basis: Type.Enum(['heating', 'earlier-heat-up', 'prior']),
  }),
  Type.Object({ kind: Type.Literal('no-chamber') }),
  /** Jobs took so much off the spool: the check begins so far in. */
  Type.Object({ kind: Type.Literal('filament-taken'), takenG: Type.Number() }),
  /** Without a `boxC` the box is taken to be cooler during the job than it is now. */
  Type.Object({ kind: Type.Literal('box-assumed'), assumedC: Type.Number(), presentC: Type.Number() }),
  Type.Object({ kind: Type.Literal('spool-short'), hasG: Type.Number(), needsG: Type.Number() }),
  Type.Object({ kind: Type.Literal('chamber-ends-at'), finalAirC: QuantilesSchema, targetC: Type.Number() }),
  Type.Object({ kind: Type.Literal('probability-at-last'), probability: Type.Number() }),
]);

/** When a job may start, and why not before. */
export const StartFindingSchema = Type.Object({
  outcome: Type.Enum([
    'start-now',
    'start-later',
    'spool-never',
    'spool-beyond',
    'spool-not-drying',
    'chamber-beyond',
    'chamber-off-target',
    'not-enough-filament',
    'bad-request',
  ]),
  earliestMs: nullable(EpochMs),
  spoolReadyMs: nullable(EpochMs),
  chamberReadyMs: nullable(EpochMs),
  hoursToSpool: nullable(Type.Number()),
  hoursToChamber: nullable(Type.Number()),
  /** Latest time to switch the bed on; null where it is on, or no chamber is waited for. */
  bedOnByMs: nullable(EpochMs),
  /** Whether the chamber heats; false: its time is that of a bed that comes on now. Null: none is waited for. */
  bedOn: nullable(Type.Boolean()),
  /** What starting now would mean. */
  ifNow: nullable(
    Type.Object({
      pSpool: Type.Number(),
      pChamber: nullable(Type.Number()),
      tooWetG: QuantilesSchema,
      /** g that leave before the first that is too wet; all where none is. */
      underG: QuantilesSchema,
      wettestWtPercent: QuantilesSchema,
      purgeG: Type.Number(),
    }),
  ),
  reasons: Type.Array(StartReasonSchema),
});
export type StartFindingWire = Static<typeof StartFindingSchema>;

/** How likely the job is to come out well from each start of the next day or more; straight lines between. */
export const StartChancesSchema = Type.Object({
  /** The chamber heats, or none is waited for; false: its chances are those of a bed that comes on now. */
  bedOn: Type.Boolean(),
  chances: Type.Array(
    Type.Object({
      atMs: EpochMs,
      /** That every turn is under the limit as it leaves. */
      pSpool: Type.Number(),
      /** That the chamber is steady by then; null without one. */
      pChamber: nullable(Type.Number()),
    }),
  ),
});
export type StartChancesWire = Static<typeof StartChancesSchema>;

export const ExcursionSchema = Type.Object({
  kind: Type.Enum(['feed-air', 'turn-too-wet', 'chamber-off', 'door', 'quiet', 'pause']),
  station: nullable(Type.String()),
  fromMs: EpochMs,
  toMs: nullable(EpochMs),
  worst: nullable(Type.Number()),
  limit: nullable(Type.Number()),
  unit: nullable(Type.Enum(['°C', 'wt %'])),
});

const OutcomeSchema = Type.Enum(['good', 'warped', 'stringy', 'weak', 'stopped']);

/** A job: running, or an attempt that has ended. */
export const JobStateSchema = Type.Object({
  id: Type.String(),
  name: Type.String(),
  spool: Type.String(),
  chamber: nullable(Type.String()),
  grams: Type.Number(),
  hours: Type.Number(),
  chamberC: nullable(Type.Number()),
  exitOpen: Type.Boolean(),
  settings: SettingsSchema,
  state: Type.Enum(['running', 'paused', 'ended']),
  startedMs: EpochMs,
  endedMs: nullable(EpochMs),
  atMs: EpochMs,
  /** Without pauses. */
  printedMs: Type.Number(),
  fedG: Type.Number(),
  /** What earlier jobs had taken off the spool: its feed began so far in. */
  takenBeforeG: Type.Number(),
  /** Air that the chamber is held against, and how far it may be from it. */
  referenceC: nullable(Type.Number()),
  bandC: Type.Number(),
  limitWtPercent: Type.Number(),
  pSpoolAtStart: nullable(Type.Number()),
  /** Of the turn being fed. */
  fedWtPercent: nullable(QuantilesSchema),
  excursions: Type.Array(ExcursionSchema),
  /** Means over the job, and their least and greatest. */
  measures: Type.Record(
    Type.String(),
    Type.Object({ mean: Type.Number(), sd: nullable(Type.Number()), min: Type.Number(), max: Type.Number() }),
  ),
  outcome: nullable(OutcomeSchema),
  note: Type.String(),
});
export type JobState = Static<typeof JobStateSchema>;

/** A job that waits for its spool and chamber. */
export const WaitingJobSchema = Type.Object({
  id: Type.String(),
  name: Type.String(),
  spool: Type.String(),
  chamber: nullable(Type.String()),
  grams: Type.Number(),
  hours: Type.Number(),
  chamberC: nullable(Type.Number()),
  exitOpen: Type.Boolean(),
  /** As of the last look, every ten minutes; null before it could be told. */
  mayStart: nullable(Type.Object({ now: Type.Boolean(), probability: Type.Number() })),
});
export type WaitingJobWire = Static<typeof WaitingJobSchema>;

export const JobsAnswerSchema = Type.Object({
  jobs: Type.Array(JobStateSchema),
  waiting: Type.Array(WaitingJobSchema),
});

export const CompareQuerySchema = Type.Object({ left: Name, right: Name });
/** What differs most between two attempts, largest first. What differs is not yet the cause. */
export const DifferencesSchema = Type.Object({
  differences: Type.Array(
    Type.Object({
      what: Type.Union([
        Type.Object({ kind: Type.Enum(['mean', 'sway', 'highest']), measure: Type.String() }),
        Type.Object({ kind: Type.Literal('excursion'), excursion: Type.String() }),
        Type.Object({ kind: Type.Literal('p-spool-at-start') }),
        Type.Object({ kind: Type.Literal('setting'), name: Type.String() }),
      ]),
      left: nullable(Type.Union([Type.Number(), Type.String()])),
      right: nullable(Type.Union([Type.Number(), Type.String()])),
      size: Type.Number(),
    }),
  ),
});
export type DifferencesAnswer = Static<typeof DifferencesSchema>;

/** Entries of a job, posted to /api/entries. */
export const JobEntrySchemas = [
  Type.Object({
    kind: Type.Union([Type.Literal('job-start'), Type.Literal('job-wait')]),
    job: Name,
    name: Type.Optional(Type.String({ minLength: 1, maxLength: 80 })),
    spool: Type.String(),
    /** The chamber. */
    station: Type.Optional(Type.String()),
    grams: Type.Number({ exclusiveMinimum: 0, maximum: 50_000 }),
    hours: Type.Number({ exclusiveMinimum: 0, maximum: 240 }),
    chamberC: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 200 })),
    exitOpen: Type.Optional(Type.Boolean()),
    settings: Type.Optional(SettingsSchema),
  }),
  Type.Object({
    kind: Type.Union([
      Type.Literal('job-pause'),
      Type.Literal('job-resume'),
      Type.Literal('job-end'),
      Type.Literal('job-drop'),
    ]),
    job: Name,
  }),
  Type.Object({
    kind: Type.Literal('job-outcome'),
    job: Name,
    outcome: OutcomeSchema,
    note: Type.Optional(Type.String({ maxLength: 1000 })),
    settings: Type.Optional(SettingsSchema),
  }),
] as const;
