/** The wire of a chamber's soak and of what must not get too hot. */
import { type Static, Type } from 'typebox';
import { EpochMs, nullable, QuantilesSchema } from './shapes.ts';

const TimesSchema = Type.Object({ p05: nullable(EpochMs), p50: nullable(EpochMs), p95: nullable(EpochMs) });
/** Why a time is null: it does not come; later than a day; no heat-up goes on. */
const ReasonSchema = Type.Enum(['never', 'beyond', 'no-run']);
const ReasonsSchema = Type.Object({
  p05: Type.Optional(ReasonSchema),
  p50: Type.Optional(ReasonSchema),
  p95: Type.Optional(ReasonSchema),
});

/** What must not get too hot at a station: the lowest ceiling of what is inside, with its reason. */
export const CeilingSchema = Type.Object({
  outcome: Type.Enum(['clear', 'near', 'near-ahead', 'passed', 'cannot-tell']),
  ceilingC: nullable(Type.Number()),
  /** Whose ceiling that is: "PETG part"; null where nothing that bears on it is known. */
  whose: nullable(Type.String()),
  reason: Type.String(),
  /** When the likeliest path crosses it; null: it does not, or nothing is foretold. */
  crossesAtMs: nullable(EpochMs),
  /** Of a box with a spool: to what it may be heated at most, if hotter may be advised at all. */
  hotter: nullable(
    Type.Object({
      outcome: Type.Enum([
        'may-be-hotter',
        'at-the-limit',
        'reel-unknown',
        'material-unknown',
        'cannot-tell',
      ]),
      toC: nullable(Type.Number()),
      reason: Type.String(),
    }),
  ),
});
export type Ceiling = Static<typeof CeilingSchema>;

/** Whether a chamber is soaked, when it will be, and when it may be opened after a job. */
export const ChamberStateSchema = Type.Object({
  station: Type.String(),
  atMs: EpochMs,
  state: Type.Enum(['cold', 'climbing', 'steady', 'disturbed', 'cooling', 'unknown']),
  airC: nullable(Type.Number()),
  /** Distance from the final value that still counts as there. */
  readyBandC: Type.Number(),
  readyDriftCPer10Min: Type.Number(),
  /** Where the air ends; null without a heat-up. */
  finalAirC: nullable(QuantilesSchema),
  steadyAtMs: TimesSchema,
  steadyAtReason: ReasonsSchema,
  driftCPer10Min: nullable(Type.Number()),
  /** How far the frame is from where it ends, and what it is at. */
  frameLagC: nullable(QuantilesSchema),
  frameC: nullable(Type.Number()),
  pSteady: Type.Number(),
  pFrameSoaked: Type.Number(),
  steadySinceMs: nullable(EpochMs),
  heatOnMs: nullable(EpochMs),
  openAtMs: TimesSchema,
  openAtReason: ReasonsSchema,
  fittedMs: nullable(EpochMs),
  /** Air ahead. */
  forecast: Type.Array(
    Type.Object({ atMs: EpochMs, p05: Type.Number(), p50: Type.Number(), p95: Type.Number() }),
  ),
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
  notes: Type.Array(Type.String()),
});
export type ChamberState = Static<typeof ChamberStateSchema>;
