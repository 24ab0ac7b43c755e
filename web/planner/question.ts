/** A question as the address bar holds it: which, and what stands in its blanks. Pure. */
import type { PlanCatalogue, PlanEvidence, PlanField } from '../../server/api/messages-plan.ts';
import { type Format, fixed, withUnit } from '../format.ts';
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

/** The unit that temperatures are typed in; an address says so where it is °F, so that one sent to others reads the same. */
export type Degrees = Format['temperatureUnit'];
const UNIT = 'degrees';
/** By the names of the blanks: all that end so are temperatures. */
const OF_DEGREES = /C$/;

const tenth = (value: number): number => Number(value.toFixed(1));
const inUnit = (celsius: number, unit: Degrees): number =>
  unit === '°C' ? celsius : tenth(celsius * 1.8 + 32);
const inCelsius = (value: number, unit: Degrees): number =>
  unit === '°C' ? value : Number(((value - 32) / 1.8).toFixed(2));

export function questionOf(query: string, unit: Degrees = '°C'): Question {
  const parameters = new URLSearchParams(query);
  const asked = parameters.get('ask');
  const written: Degrees = parameters.get(UNIT) === 'F' ? '°F' : '°C';
  const read = (name: string, text: string): string => {
    const value = written === unit || !OF_DEGREES.test(name) ? null : numberOf(text);
    return value === null ? text : String(tenth(inUnit(inCelsius(value, written), unit)));
  };
  const typed: Record<string, string> = {};
  for (const [name, value] of parameters)
    if (name !== 'ask' && name !== UNIT && value.length <= LONGEST) typed[name] = read(name, value);
  return { kind: ASKS.find((kind) => kind === asked) ?? 'dry', typed };
}

export function queryOf({ kind, typed }: Question, unit: Degrees = '°C'): string {
  const parameters = new URLSearchParams({ ask: kind });
  for (const [name, value] of Object.entries(typed)) parameters.set(name, value);
  if (unit === '°F' && Object.keys(typed).some((name) => OF_DEGREES.test(name))) parameters.set(UNIT, 'F');
  return parameters.toString();
}

/** Blanks and the table's temperatures in the unit that the page shows. */
export function catalogueIn(catalogue: PlanCatalogue, unit: Degrees): PlanCatalogue {
  if (unit === '°C') return catalogue;
  const shown = (field: PlanField): PlanField =>
    field.kind !== 'number' || field.unit !== '°C'
      ? field
      : {
          ...field,
          unit,
          low: inUnit(field.low, unit),
          high: inUnit(field.high, unit),
          usual: field.usual === null ? null : inUnit(field.usual, unit),
        };
  return {
    kinds: Object.fromEntries(
      Object.entries(catalogue.kinds).map(([kind, fields]) => [
        kind,
        Object.fromEntries(Object.entries(fields).map(([name, field]) => [name, shown(field)])),
      ]),
    ),
    materials: catalogue.materials.map((one) => ({ ...one, usualDryingC: inUnit(one.usualDryingC, unit) })),
  };
}

/** A temperature, or two with a dash between, as notes and table rows write them; before it what makes it a difference. */
const TEMPERATURE =
  /(\b(?:within|temperature to) )?(\d+(?:\.\d+)?)(?:([-\u2013])(\d+(?:\.\d+)?))?\s\u00b0?C\b/g;

/** Temperatures in a note, a unit or a quantity's name of the server's, which are all in °C. */
export const noteIn = (note: string, format: Format): string =>
  format.temperatureUnit === '°C'
    ? note
    : note.replace(TEMPERATURE, (_, step = '', low: string, dash = '', high = '') => {
        const shown = (celsius: string): string =>
          figureText(step === '' ? inUnit(Number(celsius), '°F') : tenth(Number(celsius) * 1.8));
        return `${step}${withUnit(`${shown(low)}${dash}${high === '' ? '' : shown(high)}`, '°F')}`;
      });

/** A constant of the table in the unit that the page shows; sources are quoted as they are. */
export const evidenceIn = (row: PlanEvidence, format: Format): PlanEvidence => ({
  ...row,
  ...(row.unit === '°C' && format.temperatureUnit === '°F'
    ? { value: inUnit(row.value, '°F'), unit: '°F' }
    : { unit: noteIn(row.unit, format) }),
  quantity: noteIn(row.quantity, format),
});

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

/** Blanks of this question alone, in the form the server reads, °C among it; what is mistaken is left out. */
export function askedQuery(question: Question, catalogue: PlanCatalogue): string {
  const fields = fieldsOf(catalogue, question.kind);
  const parameters = new URLSearchParams();
  for (const [name, field] of Object.entries(fields)) {
    const text = question.typed[name];
    if (text === undefined || text.trim() === '') continue;
    const value = field.kind === 'number' ? numberOf(text) : null;
    parameters.set(
      name,
      field.kind !== 'number'
        ? text
        : value === null
          ? ''
          : String(field.unit === '°F' ? inCelsius(value, '°F') : value),
    );
  }
  return parameters.toString();
}
