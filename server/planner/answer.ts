import { type HeatedAirAnswer, planAir } from './air.ts';
import { type DryAnswer, planDry } from './dry.ts';
import { type FitAnswer, planFit } from './fit.ts';
import { type LieOutAnswer, planLieOut } from './lie-out.ts';
import type { AnyQuestion } from './read-question.ts';
import { planStore, type StoreAnswer } from './store.ts';

export type AnyAnswer = DryAnswer | LieOutAnswer | StoreAnswer | FitAnswer | HeatedAirAnswer;

/** The answer to a question of any kind; the same question has the same answer, to the bit. */
export function answerPlan(question: AnyQuestion): AnyAnswer {
  switch (question.kind) {
    case 'dry':
      return planDry(question.of);
    case 'lie-out':
      return planLieOut(question.of);
    case 'store':
      return planStore(question.of);
    case 'fit':
      return planFit(question.of);
    case 'air':
      return planAir(question.of);
  }
}
