import type { PlanKind, PlanQuestion } from '../../server/plan-fields.ts';
import { readQuestion } from '../../server/planner/read-question.ts';

/** A question with the usual in all blanks but these; throws where it is mistaken. */
export function ask<K extends PlanKind>(kind: K, raw: Record<string, unknown> = {}): PlanQuestion<K> {
  const read = readQuestion(kind, raw);
  if (!read.ok) throw new Error(read.mistakes.map(({ detail }) => detail).join(' '));
  return read.question.of as PlanQuestion<K>;
}
