/** The wire of alarms and news: what stands, what a person does to it, what was, and what may be set. */
import { type Static, Type } from 'typebox';
import { EpochMs, nullable } from './shapes.ts';

export const PrioritySchema = Type.Enum(['high', 'medium', 'low']);

/** The figure it rests on, with its nine-in-ten band; low and high are null where it was measured or counted. */
export const AlertNumberSchema = Type.Object({
  label: Type.String(),
  value: Type.Number(),
  low: nullable(Type.Number()),
  high: nullable(Type.Number()),
  unit: Type.String(),
});

export const AlertSchema = Type.Object({
  id: Type.String(),
  rule: Type.String(),
  title: Type.String(),
  kind: Type.Enum(['news', 'alarm']),
  priority: PrioritySchema,
  station: nullable(Type.String()),
  spool: nullable(Type.String()),
  job: nullable(Type.String()),
  /**
   * Of an alarm, in the words of IEC 62682: `active`, `acknowledged` (active and seen), `returned` (over and not seen),
   * `normal` (over; listed while it is shelved). Of news: `true`, `withdrawn`.
   */
  state: Type.Enum(['normal', 'active', 'acknowledged', 'returned', 'true', 'withdrawn']),
  /** When the trouble began, or the news came true. */
  sinceMs: nullable(EpochMs),
  returnedMs: nullable(EpochMs),
  acknowledgedMs: nullable(EpochMs),
  /** Since when it cannot be judged: it stands as it stood then. */
  noDataSinceMs: nullable(EpochMs),
  shelf: nullable(Type.Object({ sinceMs: EpochMs, untilMs: EpochMs, reason: Type.String() })),
  headline: Type.String(),
  text: Type.String(),
  advice: Type.String(),
  caution: nullable(Type.String()),
  number: nullable(AlertNumberSchema),
});
export type Alert = Static<typeof AlertSchema>;

export const AlertsAnswerSchema = Type.Object({ alerts: Type.Array(AlertSchema) });

const AlertId = Type.String({ minLength: 1, maxLength: 120 });
/** Several at once: all that a person has on the screen. */
export const AcknowledgeSchema = Type.Object({ ids: Type.Array(AlertId, { minItems: 1, maxItems: 500 }) });
export const ShelveSchema = Type.Object({
  id: AlertId,
  /** A shelf always ends; what is pressing can be put aside for an hour at most, the rest for a day. */
  minutes: Type.Number({ minimum: 1, maximum: 1440 }),
  reason: Type.Optional(Type.String({ maxLength: 200 })),
});
export type Shelve = Static<typeof ShelveSchema>;
export const UnshelveSchema = Type.Object({ id: AlertId });

export const AlertHistoryQuerySchema = Type.Object({
  fromMs: Type.Optional(Type.Number({ minimum: 0, maximum: 8.64e15 })),
  toMs: Type.Optional(Type.Number({ minimum: 0, maximum: 8.64e15 })),
  rule: Type.Optional(Type.String({ minLength: 1, maxLength: 40 })),
  station: Type.Optional(Type.String({ minLength: 1, maxLength: 16 })),
  priority: Type.Optional(PrioritySchema),
  /** Rows older than this number: the page before. */
  before: Type.Optional(Type.Integer({ minimum: 1 })),
  limit: Type.Optional(Type.Integer({ minimum: 1, maximum: 500 })),
});
export type AlertHistoryQuery = Static<typeof AlertHistoryQuerySchema>;

export const AlertEventSchema = Type.Object({
  /** Grows by one; the order in which things happened, whatever the clock said. */
  number: Type.Integer(),
  atMs: EpochMs,
  rule: Type.String(),
  station: nullable(Type.String()),
  spool: nullable(Type.String()),
  job: nullable(Type.String()),
  state: Type.Enum(['normal', 'active', 'acknowledged', 'returned', 'no-data', 'told', 'withdrawn']),
  shelved: Type.Boolean(),
  priority: PrioritySchema,
  headline: Type.String(),
  figure: nullable(AlertNumberSchema),
});
export type AlertEvent = Static<typeof AlertEventSchema>;
/** Newest first. */
export const AlertHistoryAnswerSchema = Type.Object({
  events: Type.Array(AlertEventSchema),
  /** There are older ones. */
  more: Type.Boolean(),
});
export type AlertHistoryAnswer = Static<typeof AlertHistoryAnswerSchema>;

const QuietHoursSchema = Type.Object({
  /** IANA name of a time zone. */
  zone: Type.String({ minLength: 1, maxLength: 64 }),
  from: Type.String({ pattern: '^([01]\\d|2[0-3]):[0-5]\\d$' }),
  to: Type.String({ pattern: '^([01]\\d|2[0-3]):[0-5]\\d$' }),
});

export const RuleSettingSchema = Type.Object({
  rule: Type.String({ minLength: 1, maxLength: 40 }),
  /** Null: everywhere. */
  station: nullable(Type.String({ minLength: 1, maxLength: 16 })),
  onDelayS: Type.Optional(Type.Number()),
  offDelayS: Type.Optional(Type.Number()),
  repeatS: Type.Optional(Type.Number()),
  level: Type.Optional(Type.Number()),
  deadband: Type.Optional(Type.Number()),
  /** In place of the common ones; `none`: never held back. */
  quietHours: Type.Optional(Type.Union([QuietHoursSchema, Type.Literal('none')])),
});
export const AlertSettingsSchema = Type.Object({
  /** Hold news and low alarms until they end; medium and high ones are told at once. */
  quietHours: nullable(QuietHoursSchema),
  rules: Type.Array(RuleSettingSchema, { maxItems: 500 }),
});
export type AlertSettingsWire = Static<typeof AlertSettingsSchema>;

const GuardedSchema = Type.Object({ usual: Type.Number(), least: Type.Number(), most: Type.Number() });
const LevelSchema = nullable(
  Type.Object({
    usual: Type.Number(),
    least: Type.Number(),
    most: Type.Number(),
    label: Type.String(),
    unit: Type.String(),
  }),
);
export const AlertSettingsAnswerSchema = Type.Object({
  settings: AlertSettingsSchema,
  /** Every rule with its usual figures and the limits within which they may be set. */
  rules: Type.Array(
    Type.Object({
      key: Type.String(),
      title: Type.String(),
      kind: Type.Enum(['news', 'alarm']),
      priority: PrioritySchema,
      onDelayS: GuardedSchema,
      offDelayS: GuardedSchema,
      repeatS: GuardedSchema,
      level: LevelSchema,
      deadband: LevelSchema,
      /** Quiet hours may hold it. */
      mayWait: Type.Boolean(),
    }),
  ),
});
export type AlertSettingsAnswer = Static<typeof AlertSettingsAnswerSchema>;
