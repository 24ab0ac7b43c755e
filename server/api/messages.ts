/**
 * The wire: shapes of all that crosses HTTP and the live socket. These schemas are the single source for validation,
 * TypeScript types and the OpenAPI document; the page imports the types alone.
 *
 * The live socket, /api/live, speaks JSON texts: first one `snapshot`, then `change` messages whose `sequence` grows by
 * one each. A client that sees a jump asks for a new snapshot by opening the socket anew, and fetches the missing span
 * from /api/history. At least every 5 s of real time a message is sent, if need be a change that holds none, so that a
 * client can tell a dead socket from a quiet bench.
 */
import { type Static, Type } from 'typebox';
import { AlertSchema } from './messages-alerts.ts';
import { CeilingSchema, ChamberStateSchema } from './messages-chamber.ts';
import { JobEntrySchemas, JobStateSchema } from './messages-jobs.ts';
import { EpochMs, nullable, QuantilesSchema } from './shapes.ts';

export const DewPointBandSchema = Type.Object({
  kind: Type.Union([Type.Literal('number'), Type.Literal('interval'), Type.Literal('at-most')]),
  lowC: nullable(Type.Number()),
  highC: Type.Number(),
});

export const AirSchema = Type.Object({
  atMs: EpochMs,
  airTemperatureC: Type.Number(),
  relativeHumidityPercent: nullable(Type.Number()),
  dewPointC: nullable(Type.Number()),
  dewPointBand: nullable(DewPointBandSchema),
  frostPointC: nullable(Type.Number()),
  vapourDensityGPerM3: nullable(Type.Number()),
  vapourDensityBandGPerM3: nullable(Type.Object({ low: Type.Number(), high: Type.Number() })),
});
export type Air = Static<typeof AirSchema>;

export const RoleSchema = Type.Union([
  Type.Literal('drybox'),
  Type.Literal('storage'),
  Type.Literal('chamber'),
  Type.Literal('room'),
  Type.Literal('electronics'),
]);
export type Role = Static<typeof RoleSchema>;

export const StationStateSchema = Type.Object({
  id: Type.String(),
  role: RoleSchema,
  /** When it was last heard; null: never since the start. */
  heardMs: nullable(EpochMs),
  /** Its own rhythm as measured between its lines (board time), null before two lines. */
  intervalMs: nullable(Type.Number()),
  /** Longer silent than three of its intervals (at least 10 s), or never heard. */
  quiet: Type.Boolean(),
  /** False: its lines carry no checksum. */
  checked: Type.Boolean(),
  /** Newest value of each key, calibrated where the station is; flagged ones among them are named in `flagged`. */
  values: Type.Record(Type.String(), Type.Number()),
  /** Day of the station's calibration, as the bench file has it; null where its sensors are taken at their word. */
  calibratedOn: nullable(Type.String()),
  flagged: Type.Array(Type.String()),
  faults: Type.Record(Type.String(), Type.String()),
  air: nullable(AirSchema),
  /** Null where nothing is said of it: a room. */
  ceiling: nullable(CeilingSchema),
  /** Since midnight UTC or the start, by reason: `fault.rh.nack`, `flagged.t`, … */
  counts: Type.Record(Type.String(), Type.Number()),
});
export type StationState = Static<typeof StationStateSchema>;

export const SourceStateSchema = Type.Object({
  id: Type.String(),
  /** Where it is read from, in words: "/dev/ttyUSB0 at 115200 baud". */
  where: Type.String(),
  state: Type.Union([
    Type.Literal('opening'),
    Type.Literal('open'),
    Type.Literal('waiting'),
    Type.Literal('ended'),
    Type.Literal('closed'),
  ]),
  /** Why it is not open, for a person; null while it is. */
  trouble: nullable(Type.String()),
  sinceMs: EpochMs,
  heardMs: nullable(EpochMs),
  lines: Type.Number(),
  refused: Type.Record(Type.String(), Type.Number()),
  /** How often its boards began again, by cause. */
  restarts: Type.Record(Type.String(), Type.Number()),
  boards: Type.Array(
    Type.Object({
      board: nullable(Type.String()),
      boot: Type.String(),
      lines: Type.Number(),
      lost: Type.Number(),
      duplicates: Type.Number(),
      late: Type.Number(),
    }),
  ),
});
export type SourceState = Static<typeof SourceStateSchema>;

export type Quantiles = Static<typeof QuantilesSchema>;
const TimesSchema = Type.Object({ p05: nullable(EpochMs), p50: nullable(EpochMs), p95: nullable(EpochMs) });
/** Why a time is null: the floor is at or above the limit; later than seven days; no drying run goes on. */
const ReasonSchema = Type.Union([Type.Literal('never'), Type.Literal('beyond'), Type.Literal('no-run')]);
const ReasonsSchema = Type.Object({
  p05: Type.Optional(ReasonSchema),
  p50: Type.Optional(ReasonSchema),
  p95: Type.Optional(ReasonSchema),
});

/** How wet a spool is, how much of it is usable, and when it is dry. Moisture is wt % of dry polymer. */
export const DryingSchema = Type.Object({
  atMs: EpochMs,
  state: Type.Enum(['idle', 'warming', 'drying', 'levelling', 'dry', 'regaining', 'holding', 'unknown']),
  moistureWtPercent: QuantilesSchema,
  wettestTurnWtPercent: QuantilesSchema,
  /** Grams from the outside in whose every turn is under the limit. */
  readyOuterG: QuantilesSchema,
  dryAtMs: TimesSchema,
  dryAtReason: ReasonsSchema,
  dryThroughAtMs: TimesSchema,
  dryThroughAtReason: ReasonsSchema,
  /** What the present air can reach; null where there is no floor (a closed box) or none is known yet. */
  floorWtPercent: nullable(QuantilesSchema),
  pDry: Type.Number(),
  pNever: Type.Number(),
  dryCalledMs: nullable(EpochMs),
  runStartMs: nullable(EpochMs),
  /** Time that the numbers were fitted for; they are carried on along the forecast since. */
  fittedMs: EpochMs,
  /** Shells of equal depth, from hub to outside. */
  profileWtPercent: Type.Array(QuantilesSchema),
  /** Mean moisture ahead. */
  forecast: Type.Array(
    Type.Object({ atMs: EpochMs, p05: Type.Number(), p50: Type.Number(), p95: Type.Number() }),
  ),
  /** What the data say about what was not known: prior beside posterior. */
  posterior: Type.Array(
    Type.Object({
      unknown: Type.String(),
      label: Type.String(),
      unit: Type.String(),
      prior: QuantilesSchema,
      now: QuantilesSchema,
    }),
  ),
  assumptions: Type.Array(Type.String()),
  sharpen: Type.Array(Type.String()),
  notes: Type.Array(Type.String()),
});
export type Drying = Static<typeof DryingSchema>;

export const SpoolStateSchema = Type.Object({
  id: Type.String(),
  station: Type.String(),
  materialKey: Type.String(),
  materialName: Type.String(),
  netMassG: Type.Number(),
  /** What jobs took off it since that mass was stated: the outermost turns are gone. */
  takenG: Type.Number(),
  diameterMm: Type.Number(),
  reel: Type.String(),
  limitWtPercent: Type.Number(),
  /** Which limit that is: where printing troubles begin (common practice), or the user's own. */
  limitKind: Type.Union([Type.Literal('printing'), Type.Literal('own')]),
  /** Null before the first reading that bears on it. */
  drying: nullable(DryingSchema),
});
export type SpoolState = Static<typeof SpoolStateSchema>;

/**
 * What a person enters, posted to /api/entries. A weigh-in is the whole spool with its reel; `resolutionG` is the
 * scale's step.
 */
export const EntrySchema = Type.Union([
  Type.Object({
    kind: Type.Literal('weigh-in'),
    spool: Type.String(),
    massG: Type.Number({ exclusiveMinimum: 0, maximum: 50_000 }),
    resolutionG: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 100 })),
  }),
  Type.Object({
    kind: Type.Union([
      Type.Literal('spool-in'),
      Type.Literal('spool-out'),
      Type.Literal('bagged'),
      Type.Literal('run-start'),
      // Takes the spool's latest weigh-in back.
      Type.Literal('weigh-in-undone'),
    ]),
    spool: Type.String(),
  }),
  Type.Object({
    kind: Type.Literal('lid'),
    station: Type.String(),
    openS: Type.Optional(Type.Number({ exclusiveMinimum: 0, maximum: 86_400 })),
  }),
  ...JobEntrySchemas,
]);
export type Entry = Static<typeof EntrySchema>;
/** Ids of the spools it bears on. */
export const EntryAnswerSchema = Type.Object({ spools: Type.Array(Type.String()) });

/**
 * A value for the charts. `key` is a reading's key, or a derived one: `dew`, `vapour`, and `vapour_low`, `vapour_high`
 * for what the sensor's tolerance leaves of the vapour density.
 */
export const PointSchema = Type.Object({
  station: Type.String(),
  key: Type.String(),
  atMs: EpochMs,
  value: Type.Number(),
});
export type Point = Static<typeof PointSchema>;

export const SimulatedSchema = Type.Object({ scenario: Type.String(), speed: Type.Number() });

export const SnapshotSchema = Type.Object({
  type: Type.Literal('snapshot'),
  sequence: Type.Number(),
  atMs: EpochMs,
  /** How many seconds of bench time pass in one real second; 1 unless simulated. */
  speed: Type.Number(),
  simulated: nullable(SimulatedSchema),
  version: Type.String(),
  /** Set while the history cannot be written, for a person. */
  historyTrouble: nullable(Type.String()),
  stations: Type.Array(StationStateSchema),
  sources: Type.Array(SourceStateSchema),
  spools: Type.Array(SpoolStateSchema),
  /** Chambers heard so far. */
  chambers: Type.Array(ChamberStateSchema),
  /** Those that run, and the last that ended. */
  jobs: Type.Array(JobStateSchema),
  /** The most pressing first; more than can be shown are asked for at /api/alerts. */
  alerts: Type.Array(AlertSchema),
  /** Stations that speak but are not in the bench file. */
  unknownStations: Type.Array(Type.String()),
});
export type Snapshot = Static<typeof SnapshotSchema>;

export const ChangeSchema = Type.Object({
  type: Type.Literal('change'),
  sequence: Type.Number(),
  atMs: EpochMs,
  simulated: Type.Optional(nullable(SimulatedSchema)),
  historyTrouble: Type.Optional(nullable(Type.String())),
  /** Whole states of the stations and sources that changed. */
  stations: Type.Optional(Type.Array(StationStateSchema)),
  sources: Type.Optional(Type.Array(SourceStateSchema)),
  /** All spools, or all chambers, when an estimate of one changed. */
  spools: Type.Optional(Type.Array(SpoolStateSchema)),
  chambers: Type.Optional(Type.Array(ChamberStateSchema)),
  jobs: Type.Optional(Type.Array(JobStateSchema)),
  /** Whole list. */
  alerts: Type.Optional(Type.Array(AlertSchema)),
  unknownStations: Type.Optional(Type.Array(Type.String())),
  points: Type.Optional(Type.Array(PointSchema)),
});
export type Change = Static<typeof ChangeSchema>;

export type LiveMessage = Snapshot | Change;

export const HistoryQuerySchema = Type.Object({
  station: Type.String({ minLength: 1, maxLength: 16 }),
  /** Comma-separated, at most 16; flagged values of a key are the series `<key>!`. */
  keys: Type.String({ minLength: 1, maxLength: 400 }),
  /** The span is [fromMs, toMs). */
  fromMs: Type.Number({ minimum: 0, maximum: 8.64e15 }),
  toMs: Type.Number({ minimum: 0, maximum: 8.64e15 }),
  /** At most so many; 2000 where it is not said. */
  buckets: Type.Optional(Type.Integer({ minimum: 1, maximum: 2000 })),
});
export type HistoryQuery = Static<typeof HistoryQuerySchema>;

/** The finest that is kept of a span, as a table. */
export const ExportQuerySchema = Type.Omit(HistoryQuerySchema, ['buckets']);
export type ExportQuery = Static<typeof ExportQuerySchema>;

/**
 * Columns, bucket by bucket in time order; buckets without a reading are absent, so that a gap stays a gap. `atMs` is
 * the start of a bucket, a whole multiple of `bucketMs` since the Unix epoch. Where the readings of the span are few
 * enough they come as they are, in buckets of one millisecond.
 */
export const HistoryAnswerSchema = Type.Object({
  station: Type.String(),
  fromMs: EpochMs,
  toMs: EpochMs,
  bucketMs: Type.Number(),
  series: Type.Record(
    Type.String(),
    Type.Object({
      atMs: Type.Array(EpochMs),
      min: Type.Array(Type.Number()),
      mean: Type.Array(Type.Number()),
      max: Type.Array(Type.Number()),
    }),
  ),
});
export type HistoryAnswer = Static<typeof HistoryAnswerSchema>;

const Count = Type.Integer({ minimum: 0 });
const Counts = Type.Record(Type.String(), Count);

/** How lowdew itself is: what was heard, refused and lost, by station and reason. */
export const HealthSchema = Type.Object({
  /** `trouble`: something in `troubles` needs a person. */
  status: Type.Union([Type.Literal('well'), Type.Literal('trouble')]),
  /** For a person, one sentence each. */
  troubles: Type.Array(Type.String()),
  version: Type.String(),
  atMs: EpochMs,
  uptimeS: Type.Number(),
  stations: Type.Array(
    Type.Object({ id: Type.String(), heardMs: nullable(EpochMs), quiet: Type.Boolean(), counts: Counts }),
  ),
  sources: Type.Array(
    Type.Object({
      id: Type.String(),
      state: Type.String(),
      lines: Count,
      lost: Count,
      duplicates: Count,
      late: Count,
      refused: Counts,
    }),
  ),
  history: Type.Object({
    /** Null while no file is open. */
    engine: nullable(Type.String()),
    series: Count,
    /** Held in memory until the next write. */
    pending: Count,
    kept: Count,
    repeated: Count,
    refused: Count,
    crowdedOut: Count,
    lost: Count,
  }),
  live: Type.Object({
    sockets: Count,
    behind: Count,
    bufferedBytes: Count,
    opened: Count,
    sent: Count,
    dropped: Count,
  }),
  memory: Type.Object({ residentBytes: Count, heapBytes: Count }),
});
export type Health = Static<typeof HealthSchema>;

export const ErrorAnswerSchema = Type.Object({
  error: Type.Object({
    /** Stable; listed in DEVELOPERS.md. */
    code: Type.String(),
    message: Type.String(),
    /** Field by field, where several were asked. */
    mistakes: Type.Optional(
      Type.Array(Type.Object({ field: Type.String(), reason: Type.String(), detail: Type.String() })),
    ),
  }),
});
export type ErrorAnswer = Static<typeof ErrorAnswerSchema>;
