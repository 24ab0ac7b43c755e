/** What-ifs without any board: what can be asked, and the answers. A question stands whole in its address. */
import { Type } from 'typebox';
import { PLAN_FIELDS, PLAN_KINDS, type PlanField, type PlanKind, type PlanMistake } from '../plan-fields.ts';
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import {
  AirPlanSchema,
  DryPlanSchema,
  FitPlanSchema,
  LieOutPlanSchema,
  type PlanAnswer,
  type PlanCatalogue,
  PlanCatalogueSchema,
  StorePlanSchema,
} from './messages-plan.ts';

export type PlanOutcome =
  | { readonly ok: true; readonly answer: PlanAnswer }
  | { readonly ok: false; readonly mistakes: readonly PlanMistake[] };

export interface Planner {
  catalogue(): PlanCatalogue;
  answer(kind: PlanKind, raw: Readonly<Record<string, unknown>>): PlanOutcome;
}

const SUMMARIES: Readonly<Record<PlanKind, string>> = {
  dry: 'When a spool is dry in a box that nobody has measured yet',
  'lie-out': 'How long a dry spool may lie in a room’s open air',
  store: 'How long a bag with desiccant keeps a spool under its limit',
  fit: 'How much a printed part grows with the water it takes up',
  air: 'Dew point, vapour, and what heating makes of air',
};
const ANSWERS = {
  dry: DryPlanSchema,
  'lie-out': LieOutPlanSchema,
  store: StorePlanSchema,
  fit: FitPlanSchema,
  air: AirPlanSchema,
} as const;

export function registerPlans(app: ApiApp, planner: Planner): void {
  app.get(
    '/api/plan',
    {
      schema: {
        summary: 'What the planner can be asked: fields with units and limits, and the materials',
        response: { 200: PlanCatalogueSchema, ...ERROR_RESPONSES },
      },
    },
    () => planner.catalogue() as never,
  );
  for (const kind of PLAN_KINDS)
    app.get(
      `/api/plan/${kind}`,
      {
        schema: {
          summary: SUMMARIES[kind],
          description: 'Fields that are left out hold what usually stands there; see /api/plan.',
          querystring: questionSchema(PLAN_FIELDS[kind]),
          response: { 200: ANSWERS[kind], ...ERROR_RESPONSES },
        },
        // The planner's own reader names every mistake and what is allowed; the schema is for those who read it.
        attachValidation: true,
      },
      (request) => {
        const outcome = planner.answer(kind, request.query as Record<string, unknown>);
        if (outcome.ok) return outcome.answer as never;
        const { mistakes } = outcome;
        throw new RequestRefused(
          422,
          'bad-question',
          mistakes.map(({ detail }) => detail).join(' '),
          mistakes,
        );
      },
    );
}

const questionSchema = (fields: Readonly<Record<string, PlanField>>) =>
  Type.Object(
    Object.fromEntries(
      Object.entries(fields).map(([name, field]) => [
        name,
        Type.Optional(
          field.kind === 'number'
            ? Type.Number({
                minimum: field.low,
                maximum: field.high,
                description: `${field.name}, ${field.unit}`,
              })
            : field.kind === 'choice'
              ? Type.Enum([...field.options], { description: field.name })
              : Type.String({ description: 'key of a material' }),
        ),
      ]),
    ),
  );
