/** Shapes that all of the wire is made of. */
import { Type } from 'typebox';

export const nullable = <T extends Parameters<typeof Type.Union>[0][number]>(schema: T) =>
  Type.Union([schema, Type.Null()]);
export const EpochMs = Type.Number({ description: 'milliseconds since the Unix epoch' });
/** One likely value and the nine in ten about it. */
export const QuantilesSchema = Type.Object({ p05: Type.Number(), p50: Type.Number(), p95: Type.Number() });
