/** The Planner: one question at a time, as a sentence with blanks; the answer, its curve, and what it rests on. */
import { useComputed, useSignal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { browserWorld } from '../browser-world.ts';
import { PieceText } from '../piece-text.tsx';
import { isPlainClick, type Route } from '../shell/route.ts';
import type { ScreenProps } from '../shell/screen-props.ts';
import { useTitle } from '../shell/title.ts';
import { type Asked, PLAN_ANSWER, PLANNER, QUESTIONS } from '../words/planner.ts';
import { SCREEN_NAMES } from '../words/shell.ts';
import { createPlanAsker, type PlanAsker } from './asker.ts';
import { fromBench } from './from-bench.ts';
import type { Ghost } from './plan-lane.ts';
import { PlanPlate } from './plan-plate.tsx';
import { type PlanWords, sayPlan } from './plan-words.ts';
import {
  ASKS,
  askedQuery,
  catalogueIn,
  type Degrees,
  fieldsOf,
  mistakeOf,
  noteIn,
  otherQuestion,
  type Question,
  queryOf,
  questionOf,
} from './question.ts';
import { QuestionForm } from './question-form.tsx';
import { RestsOn } from './rests-on.tsx';

export function PlannerScreen({ state, route }: ScreenProps) {
  const asker = useMemo(() => createPlanAsker(browserWorld()), []);
  useEffect(() => () => asker.stop(), [asker]);
  const unit = state.format.value.temperatureUnit;
  const question = useComputed(() =>
    questionOf(route.place.value.query, state.format.value.temperatureUnit),
  ).value;
  const known = asker.catalogue.value;
  const catalogue = useMemo(() => known && catalogueIn(known, unit), [known, unit]);
  const ghost = useSignal<Ghost | null>(null);
  const format = state.format.value;
  const typing = useTyping();
  const halfTyped = catalogue !== null && isMistaken(question, catalogue);
  const path = catalogue === null || halfTyped ? null : `${question.kind}?${askedQuery(question, catalogue)}`;
  useEffect(() => {
    if (path !== null) asker.ask(path);
  }, [asker, path]);

  const mistaken = halfTyped && !typing.value;
  const given = asker.answer.value;
  // Another question's answer is none to this one.
  const unanswered = asker.unanswered.value;
  const answer = given?.kind === question.kind && !unanswered ? given : null;
  const words: PlanWords = mistaken
    ? { heading: PLAN_ANSWER.mistaken, tell: [] }
    : answer === null
      ? unanswered
        ? { heading: PLAN_ANSWER.unanswered, tell: [PLAN_ANSWER.unansweredTell] }
        : { heading: PLAN_ANSWER.asking, tell: [] }
      : sayPlan(answer, format);
  useTitle(state, SCREEN_NAMES.planner, words.heading);

  const refine = (next: Question): void => route.refine(queryOf(next, unit));
  const bench = fromBench(state, question.kind);
  return (
    <>
      <Asks question={question} asker={asker} route={route} unit={unit} />
      {catalogue && (
        <QuestionForm
          question={question}
          catalogue={catalogue}
          isTyping={typing.value}
          fill={(field, text) => {
            typing.begin();
            ghost.value ??= answer?.curve ?? null;
            refine({ ...question, typed: { ...question.typed, [field]: text } });
          }}
          focus={() => {
            ghost.value = null;
            typing.end();
          }}
        />
      )}
      {catalogue && bench && (
        <p class="from-bench">
          <button
            type="button"
            onClick={() => refine({ ...question, typed: { ...question.typed, ...bench } })}
          >
            {PLANNER.fromBench}
          </button>
        </p>
      )}
      <div class="answer plan-answer" role="status">
        <h1>{words.heading}</h1>
        <p class="tell">
          <PieceText pieces={words.tell} />
        </p>
        {!mistaken &&
          answer?.notes.map((note) => (
            <p class="plan-note" key={note}>
              {noteIn(note, format)}
            </p>
          ))}
      </div>
      {answer && (
        <div class={mistaken ? 'stale' : ''} inert={mistaken}>
          <PlanPlate
            answer={answer}
            ghost={ghost.value === answer.curve ? null : ghost.value}
            said={words.heading}
            format={format}
          />
          <RestsOn answer={answer} format={format} />
        </div>
      )}
    </>
  );
}

/** A hand that types on is not told of each figure it has not finished. */
const TYPING_MS = 700;

function useTyping() {
  const typing = useSignal(false);
  const timer = useRef(0);
  const end = (): void => {
    clearTimeout(timer.current);
    typing.value = false;
  };
  return {
    get value() {
      return typing.value;
    },
    begin() {
      clearTimeout(timer.current);
      typing.value = true;
      timer.current = setTimeout(end, TYPING_MS);
    },
    end,
  };
}

const isMistaken = (question: Question, catalogue: NonNullable<PlanAsker['catalogue']['value']>): boolean =>
  Object.entries(fieldsOf(catalogue, question.kind)).some(
    ([name, field]) => mistakeOf(field, question.typed[name] ?? '') !== null,
  );

function Asks({
  question,
  asker,
  route,
  unit,
}: {
  question: Question;
  asker: PlanAsker;
  route: Route;
  unit: Degrees;
}) {
  const hrefOf = (kind: Asked): string =>
    `/planner?${queryOf(otherQuestion(question, kind, asker.catalogue.value), unit)}`;
  return (
    <nav class="asks" aria-label={PLANNER.asks}>
      <ul>
        {ASKS.map((kind) => (
          <li key={kind}>
            <a
              href={hrefOf(kind)}
              {...(kind === question.kind ? { 'aria-current': 'true' as const } : {})}
              onClick={(event) => {
                if (!isPlainClick(event)) return;
                event.preventDefault();
                if (kind !== question.kind) route.go(hrefOf(kind));
              }}
            >
              {QUESTIONS[kind].name}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
