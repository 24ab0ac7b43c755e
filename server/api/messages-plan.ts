/** The wire of the planner: what it asks, and what it answers. The page imports the types alone. */
import { type Static, Type } from 'typebox';
import { nullable, QuantilesSchema } from './shapes.ts';

/** What comes over the wire is read, never written to. */
type ReadonlyDeep<T> = T extends (infer U)[]
  ? readonly ReadonlyDeep<U>[]
  : T extends object
    ? { readonly [K in keyof T]: ReadonlyDeep<T[K]> }
    : T;
const Numbers = Type.Array(Type.Number());
const LateSchema = Type.Union([Type.Literal('never'), Type.Literal('beyond'), Type.Literal('no-run')]);
/** Seconds from the start; null with its reason: never, or later than is looked ahead. */
const AfterSchema = Type.Object({
  p05: nullable(Type.Number()),
  p50: nullable(Type.Number()),
  p95: nullable(Type.Number()),
  reason: Type.Object({
    p05: Type.Optional(LateSchema),
    p50: Type.Optional(LateSchema),
    p95: Type.Optional(LateSchema),
  }),
});
export type PlanAfter = ReadonlyDeep<Static<typeof AfterSchema>>;

export const PlanKindSchema = Type.Union([
  Type.Literal('dry'),
  Type.Literal('lie-out'),
  Type.Literal('store'),
  Type.Literal('fit'),
  Type.Literal('air'),
]);
export type PlanKind = ReadonlyDeep<Static<typeof PlanKindSchema>>;

const FieldSchema = Type.Union([
  Type.Object({
    kind: Type.Literal('number'),
    name: Type.String(),
    unit: Type.String(),
    low: Type.Number(),
    high: Type.Number(),
    /** Null: it may stay empty, and the materials table is asked. */
    usual: nullable(Type.Number()),
  }),
  Type.Object({
    kind: Type.Literal('choice'),
    name: Type.String(),
    options: Type.Array(Type.String()),
    usual: Type.String(),
  }),
  Type.Object({ kind: Type.Literal('material'), name: Type.String(), usual: Type.String() }),
]);
export type PlanField = ReadonlyDeep<Static<typeof FieldSchema>>;

/** All that a form needs to ask well: fields with their limits, and the materials with theirs. */
export const PlanCatalogueSchema = Type.Object({
  kinds: Type.Record(Type.String(), Type.Record(Type.String(), FieldSchema)),
  materials: Type.Array(
    Type.Object({
      key: Type.String(),
      name: Type.String(),
      printingLimitWtPercent: Type.Number(),
      usualDryingC: Type.Number(),
      highestDryingC: Type.Number(),
    }),
  ),
});
export type PlanCatalogue = ReadonlyDeep<Static<typeof PlanCatalogueSchema>>;

const EvidenceSchema = Type.Object({
  quantity: Type.String(),
  value: Type.Number(),
  unit: Type.String(),
  sources: Type.Array(Type.String()),
  grade: Type.String(),
});
export type PlanEvidence = ReadonlyDeep<Static<typeof EvidenceSchema>>;

/** Quantiles of the draws at equal steps: of seconds, or of °C where the question is about air. */
const CurveSchema = Type.Object({
  at: Numbers,
  p05: Numbers,
  p25: Numbers,
  p50: Numbers,
  p75: Numbers,
  p95: Numbers,
  /** A second thing in the same lane, as its median. */
  second: nullable(Numbers),
});
export type PlanCurve = ReadonlyDeep<Static<typeof CurveSchema>>;

const shared = {
  /** With what was left out filled in. */
  question: Type.Record(Type.String(), Type.Union([Type.Number(), Type.String(), Type.Null()])),
  curve: CurveSchema,
  assumptions: Type.Array(Type.String()),
  notes: Type.Array(Type.String()),
  evidence: Type.Array(EvidenceSchema),
};
const limit = {
  materialName: Type.String(),
  limitWtPercent: Type.Number(),
  limitKind: Type.Union([Type.Literal('printing'), Type.Literal('own')]),
};

export const DryPlanSchema = Type.Object({
  kind: Type.Literal('dry'),
  ...shared,
  ...limit,
  startWtPercent: QuantilesSchema,
  /** The spool's mean, and its wettest turn, under the limit. */
  dryAfterS: AfterSchema,
  throughAfterS: AfterSchema,
  floorWtPercent: nullable(QuantilesSchema),
  pNever: Type.Number(),
});
export const LieOutPlanSchema = Type.Object({
  kind: Type.Literal('lie-out'),
  ...shared,
  ...limit,
  outerPassesS: AfterSchema,
  meanPassesS: AfterSchema,
  levelWtPercent: QuantilesSchema,
});
export const StorePlanSchema = Type.Object({
  kind: Type.Literal('store'),
  ...shared,
  ...limit,
  passesS: AfterSchema,
  inflowGPerDay: QuantilesSchema,
  desiccantForYearG: nullable(QuantilesSchema),
  limitRhPercent: QuantilesSchema,
});
export const FitPlanSchema = Type.Object({
  kind: Type.Literal('fit'),
  ...shared,
  materialName: Type.String(),
  levelWtPercent: QuantilesSchema,
  gainWtPercent: QuantilesSchema,
  growthMm: QuantilesSchema,
  halfGrownS: AfterSchema,
  clearanceMm: Type.Number(),
  expansionKnown: Type.Boolean(),
});
const BandSchema = Type.Object({ low: Type.Number(), high: Type.Number() });
export const AirPlanSchema = Type.Object({
  kind: Type.Literal('air'),
  ...shared,
  air: Type.Object({
    airTemperatureC: Type.Number(),
    relativeHumidityPercent: Type.Number(),
    pressureHPa: Type.Number(),
    saturationPressurePa: Type.Number(),
    vapourPressurePa: Type.Number(),
    dewPointC: nullable(Type.Number()),
    dewPointBand: nullable(
      Type.Object({
        kind: Type.Union([Type.Literal('number'), Type.Literal('interval'), Type.Literal('at-most')]),
        lowC: nullable(Type.Number()),
        highC: Type.Number(),
      }),
    ),
    frostPointC: nullable(Type.Number()),
    vapourDensityGPerM3: Type.Number(),
    vapourDensityBandGPerM3: nullable(BandSchema),
    humidityRatioKgPerKg: nullable(Type.Number()),
    vapourPressureDeficitPa: Type.Number(),
  }),
  /** Above 100, water has condensed on the way. */
  heatedRhPercent: Type.Object({ low: Type.Number(), middle: Type.Number(), high: Type.Number() }),
});

export const PlanAnswerSchema = Type.Union([
  DryPlanSchema,
  LieOutPlanSchema,
  StorePlanSchema,
  FitPlanSchema,
  AirPlanSchema,
]);
export type DryPlan = ReadonlyDeep<Static<typeof DryPlanSchema>>;
export type LieOutPlan = ReadonlyDeep<Static<typeof LieOutPlanSchema>>;
export type StorePlan = ReadonlyDeep<Static<typeof StorePlanSchema>>;
export type FitPlan = ReadonlyDeep<Static<typeof FitPlanSchema>>;
export type AirPlan = ReadonlyDeep<Static<typeof AirPlanSchema>>;
export type PlanAnswer = DryPlan | LieOutPlan | StorePlan | FitPlan | AirPlan;
