/** The question as a sentence whose blanks are filled in where they stand; what is wrong is said beside the blank. */
import type { PlanCatalogue, PlanField } from '../../server/api/messages-plan.ts';
import { CHOICES, PLANNER, QUESTIONS } from '../words/planner.ts';
import { fieldsOf, figureText, mistakeOf, numberOf, type Question } from './question.ts';

export interface FormProps {
  readonly question: Question;
  readonly catalogue: PlanCatalogue;
  /** A figure half typed is no mistake yet. */
  readonly isTyping: boolean;
  fill(field: string, text: string): void;
  /** A blank is entered or left. */
  focus(entered: boolean): void;
}

/** Blanks that another blank makes useless: they stay out of the sentence. */
function isUseless(
  name: string,
  { kind, typed }: Question,
  fields: Readonly<Record<string, PlanField>>,
): boolean {
  const of = (other: string): string => typed[other] ?? String(fields[other]?.usual ?? '');
  if (kind === 'dry' && name === 'startWtPercent') return of('stored') !== 'weighed';
  if (kind === 'store' && name === 'thicknessUm') return ['flexed-foil', 'barrier'].includes(of('film'));
  return false;
}

export function QuestionForm(props: FormProps) {
  const { question, catalogue } = props;
  const fields = fieldsOf(catalogue, question.kind);
  return (
    <form
      class="question"
      aria-label={PLANNER.question}
      onSubmit={(event) => event.preventDefault()}
      onFocusIn={() => props.focus(true)}
      onFocusOut={() => props.focus(false)}
      noValidate
    >
      <p>
        {QUESTIONS[question.kind].pieces.map((piece, place, pieces) => {
          if (typeof piece === 'string') {
            // The space before a blank that is left out would stand before a comma.
            const next = pieces[place + 1];
            const isLeftOut = typeof next === 'object' && isUseless(next.blank, question, fields);
            return isLeftOut ? piece.trimEnd() : piece;
          }
          const field = fields[piece.blank];
          if (!field || isUseless(piece.blank, question, fields)) return null;
          return <Blank {...props} name={piece.blank} field={field} key={`${place} ${piece.blank}`} />;
        })}
      </p>
    </form>
  );
}

function Blank(props: FormProps & { name: string; field: PlanField }) {
  const { name, field, question, catalogue, fill } = props;
  const text = question.typed[name];
  if (field.kind === 'choice')
    return (
      <select
        aria-label={field.name}
        value={text ?? field.usual}
        onChange={(event) => fill(name, event.currentTarget.value)}
      >
        {field.options.map((option) => (
          <option value={option} key={option}>
            {CHOICES[name]?.[option] ?? option}
          </option>
        ))}
      </select>
    );
  if (field.kind === 'material')
    return (
      <select
        aria-label={field.name}
        value={text ?? field.usual}
        onChange={(event) => fill(name, event.currentTarget.value)}
      >
        {catalogue.materials.map(({ key, name: called }) => (
          <option value={key} key={key}>
            {called}
          </option>
        ))}
      </select>
    );
  const mistake = props.isTyping ? null : mistakeOf(field, text ?? '');
  const shown = text ?? (field.usual === null ? '' : figureText(field.usual));
  const usual =
    field.usual === null
      ? fromTable(name, question, catalogue, usualMaterialOf(props))
      : figureText(field.usual);
  const id = `plan-${name}`;
  return (
    <span class="blank">
      <input
        id={id}
        inputMode="decimal"
        autoComplete="off"
        aria-label={PLANNER.fieldLabel(field.name, field.unit)}
        aria-invalid={mistake !== null}
        aria-describedby={mistake === null ? undefined : `${id}-wrong`}
        placeholder={usual}
        size={Math.max(3, Math.min(8, shown.length || usual.length))}
        value={shown}
        onInput={(event) => fill(name, event.currentTarget.value)}
      />
      <span class="unit">{`\u00a0${field.unit}`}</span>
      {mistake !== null && (
        <span class="wrong" id={`${id}-wrong`} role="alert">
          {` ${mistake}`}
        </span>
      )}
    </span>
  );
}

const usualMaterialOf = ({ catalogue, question }: FormProps): string => {
  const field = fieldsOf(catalogue, question.kind)['material'];
  return field?.kind === 'material' ? field.usual : '';
};

/** What stands in an empty blank: the table's usual box or limit for the material, or half of the limit for a spool dried well. */
function fromTable(
  name: string,
  { typed }: Question,
  { materials }: PlanCatalogue,
  usualMaterial: string,
): string {
  const material = materials.find(({ key }) => key === (typed['material'] ?? usualMaterial));
  if (!material) return '';
  const { printingLimitWtPercent: printing } = material;
  if (name === 'boxC') return figureText(material.usualDryingC);
  if (name !== 'startWtPercent') return figureText(printing);
  return figureText(Number((0.5 * (numberOf(typed['limitWtPercent'] ?? '') ?? printing)).toPrecision(3)));
}
