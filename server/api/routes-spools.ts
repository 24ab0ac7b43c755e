/** Spools that a person adds to the bench or takes off it; what lies where is what people do, not what the bench file says. */
import { type Static, Type } from 'typebox';
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';

/** As `[[spool]]` in a bench file has it. */
export const NewSpoolSchema = Type.Object({
  id: Type.String({ minLength: 1, maxLength: 16, pattern: '^[A-Za-z0-9_-]+$' }),
  station: Type.String({ minLength: 1, maxLength: 16 }),
  material: Type.String({ minLength: 1, maxLength: 32 }),
  netMassG: Type.Number({ minimum: 1, maximum: 20_000 }),
  fibreWtPercent: Type.Optional(Type.Number({ minimum: 0, maximum: 50 })),
  diameterMm: Type.Optional(Type.Number({ minimum: 0.5, maximum: 5 })),
  reel: Type.Enum(['plastic', 'cardboard', 'unknown']),
  stored: Type.Enum(['sealed-new', 'desiccant', 'room', 'damp', 'unknown']),
  storedRhPercent: Type.Optional(Type.Number({ minimum: 0, maximum: 100 })),
  limitWtPercent: Type.Optional(Type.Number({ minimum: 0.001, maximum: 20 })),
});
export type NewSpool = Static<typeof NewSpoolSchema>;

export type SpoolOutcome =
  | { readonly ok: true }
  | { readonly ok: false; readonly reason: 'unknown-name' | 'bad-value'; readonly detail: string };

export interface SpoolsView {
  add(spool: NewSpool): SpoolOutcome;
  remove(id: string): SpoolOutcome;
}

export function registerSpools(app: ApiApp, spools: SpoolsView): void {
  const told = (outcome: SpoolOutcome): Record<string, never> => {
    if (!outcome.ok) throw new RequestRefused(422, outcome.reason, outcome.detail);
    return {};
  };
  app.post(
    '/api/spools',
    {
      schema: {
        summary: 'Add a spool; the bench begins anew with it, and live sockets open again',
        body: NewSpoolSchema,
        response: { 200: Type.Object({}), ...ERROR_RESPONSES },
      },
    },
    ({ body }) => told(spools.add(body)),
  );
  app.post(
    '/api/spools/:id/remove',
    {
      schema: {
        summary: 'Take a spool off the bench; its history stays',
        params: Type.Object({ id: Type.String({ minLength: 1, maxLength: 16 }) }),
        response: { 200: Type.Object({}), ...ERROR_RESPONSES },
      },
    },
    ({ params: { id } }) => told(spools.remove(id)),
  );
}
