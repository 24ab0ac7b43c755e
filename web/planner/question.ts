/** A question as the address bar holds it: which, and what stands in its blanks. Pure. */
import type { PlanCatalogue, PlanField } from '../../server/api/messages-plan.ts';
import { fixed } from '../format.ts';
import type { Asked } from '../words/planner.ts';
import { PLANNER, QUESTIONS } from '../words/planner.ts';

export interface Question {
  readonly kind: Asked;
  /** Blanks that were filled in, as typed; the others hold what usually stands there. */
  readonly typed: Readonly<Record<string, string>>;
}

const ASKS = Object.keys(QUESTIONS) as Asked[];

export { ASKS };

/** Longer than this is no figure of a person's. */
const LONGEST = 40;

export function questionOf(query: string): Question {
  const parameters = new URLSearchParams(query);
  const asked = parameters.get('ask');
  const typed: Record<string, string> = {};
  for (const [name, value] of parameters) if (name !== 'ask' && value.length <= LONGEST) typed[name] = value;
  return { kind: ASKS.find((kind) => kind === asked) ?? 'dry', typed };
}

export function queryOf({ kind, typed }: Question): string {
  const parameters = new URLSearchParams({ ask: kind });
  for (const [name, value] of Object.entries(typed)) parameters.set(name, value);
  return parameters.toString();
}

/** Another question about the same things: blanks that both have keep what was typed. */
export function otherQuestion(question: Question, kind: Asked, catalogue: PlanCatalogue | null): Question {
  const fields = catalogue?.kinds[kind];
  const typed = fields
    ? Object.fromEntries(Object.entries(question.typed).filter(([name]) => Object.hasOwn(fields, name)))
    : {};
  return { kind, typed };
}

export const fieldsOf = (catalogue: PlanCatalogue, kind: Asked): Readonly<Record<string, PlanField>> =>
  catalogue.kinds[kind] ?? {};

/** A comma serves as a decimal point; an empty blank is no mistake. Null: as it can be. */
export function mistakeOf(field: PlanField | undefined, text: string): string | null {
  if (field?.kind !== 'number' || text.trim() === '') return null;
  const value = numberOf(text);
  const words = [figureText(field.low), figureText(field.high), field.unit] as const;
  if (value === null) return PLANNER.noNumber(...words);
  return value < field.low || value > field.high ? PLANNER.only(...words) : null;
}

export function numberOf(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('\u2212', '-');
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** As short as it is exact. */
export const figureText = (value: number): string =>
  fixed(value, Math.min(4, (String(value).split('.')[1] ?? '').length));

/** Blanks of this question alone, in the form the server reads; what is mistaken is left out. */
export function askedQuery(question: Question, catalogue: PlanCatalogue): string {
  const fields = fieldsOf(catalogue, question.kind);
  const parameters = new URLSearchParams();
  for (const [name, field] of Object.entries(fields)) {
    const text = question.typed[name];
    if (text === undefined || text.trim() === '') continue;
    parameters.set(name, field.kind === 'number' ? String(numberOf(text) ?? '') : text);
  }
  return parameters.toString();
}
