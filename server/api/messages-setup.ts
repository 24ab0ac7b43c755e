/** The wire of Setup: ports, what was heard on them, and the bench file that a first run writes. */
import { type Static, Type } from 'typebox';
import { nullable } from './shapes.ts';

const StationName = Type.String({ minLength: 1, maxLength: 16, pattern: '^[A-Za-z0-9_-]+$' });
const PortPath = Type.String({ minLength: 1, maxLength: 256 });

/** What came of listening on a port. Nothing is ever sent to it. */
export const HeardSchema = Type.Object({
  state: Type.Enum(['listening', 'heard', 'nothing', 'failed']),
  baud: nullable(Type.Number()),
  /** The newest lines, as text. */
  lines: Type.Array(Type.String()),
  /** What stands in the way, or what to look at; for a person. */
  sentences: Type.Array(Type.String()),
  /** Stations that the lines name themselves; empty where the whole port is one station. */
  stations: Type.Array(Type.Object({ id: Type.String(), values: Type.Record(Type.String(), Type.Number()) })),
  /** Of lines that do not name their values: what each number was taken for, and why. */
  columns: Type.Array(
    Type.Object({ key: Type.String(), sample: Type.String(), why: Type.String(), sure: Type.Boolean() }),
  ),
});
export type HeardWire = Static<typeof HeardSchema>;

export const SetupStateSchema = Type.Object({
  /** Bench file in use; null while the bench is simulated. */
  benchFile: nullable(Type.String()),
  /** Where a first run would write one; null where there is one already, which is never rewritten. */
  writesTo: nullable(Type.String()),
  ports: Type.Array(
    Type.Object({
      path: Type.String(),
      lastingPath: nullable(Type.String()),
      manufacturer: nullable(Type.String()),
      serialNumber: nullable(Type.String()),
      /** Null: not listened on since the start. */
      heard: nullable(HeardSchema),
    }),
  ),
  /** Why the list of ports may be short. */
  portsNote: nullable(Type.String()),
});
export type SetupState = Static<typeof SetupStateSchema>;

export const ListenRequestSchema = Type.Object({
  path: PortPath,
  /** Keys in place of the guessed ones, for what was heard already. */
  columns: Type.Optional(Type.Array(Type.String({ maxLength: 24 }), { maxItems: 16 })),
});

export const ForgetRequestSchema = Type.Object({ path: PortPath });

const SpoolDescribedSchema = Type.Object({
  id: Type.String({ minLength: 1, maxLength: 32, pattern: '^[A-Za-z0-9_-]+$' }),
  station: StationName,
  material: Type.String({ minLength: 1, maxLength: 32 }),
  netMassG: Type.Number({ exclusiveMinimum: 0, maximum: 50_000 }),
  reel: Type.Enum(['plastic', 'cardboard', 'unknown']),
  stored: Type.Enum(['sealed-new', 'desiccant', 'room', 'damp', 'unknown']),
});

export const FirstBenchSchema = Type.Object({
  stations: Type.Array(
    Type.Object({
      /** Port on which it is heard. */
      port: PortPath,
      id: StationName,
      role: Type.Enum(['drybox', 'storage', 'chamber', 'room', 'electronics']),
      inside: Type.Optional(Type.Array(Type.String({ maxLength: 24 }), { maxItems: 24 })),
    }),
    { minItems: 1, maxItems: 32 },
  ),
  spool: nullable(SpoolDescribedSchema),
});
export type FirstBench = Static<typeof FirstBenchSchema>;

export const BenchWrittenSchema = Type.Object({ path: Type.String(), text: Type.String() });

/** A family of the materials table: what lowdew reckons with, from where, and how far it is trusted. */
export const MaterialRowSchema = Type.Object({
  key: Type.String(),
  name: Type.String(),
  printingLimitWtPercent: Type.Number(),
  resinGuideLimitWtPercent: Type.Number(),
  usualDryingC: Type.Number(),
  highestDryingC: Type.Number(),
  usualDryingHours: Type.Array(Type.Number()),
  softening: Type.String(),
  evidence: Type.Array(
    Type.Object({
      quantity: Type.String(),
      value: Type.Number(),
      unit: Type.String(),
      sources: Type.Array(Type.String()),
      grade: Type.String(),
    }),
  ),
});
export const MaterialsAnswerSchema = Type.Object({
  materials: Type.Array(MaterialRowSchema),
  things: Type.Array(
    Type.Object({ key: Type.String(), name: Type.String(), ceilingC: Type.Number(), reason: Type.String() }),
  ),
});
export type MaterialsAnswer = Static<typeof MaterialsAnswerSchema>;
