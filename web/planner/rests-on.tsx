/** What an answer rests on: what was taken for granted, and each constant with its source and grade. */
import type { PlanAnswer } from '../../server/api/messages-plan.ts';
import { ConstantRows } from '../constant-rows.tsx';
import { type Format, moisture } from '../format.ts';
import { PLANNER } from '../words/planner.ts';
import { evidenceIn, noteIn } from './question.ts';

export function RestsOn({ answer, format }: { answer: PlanAnswer; format: Format }) {
  const printing = 'limitKind' in answer && answer.limitKind === 'printing';
  return (
    <section class="rests" aria-labelledby="rests">
      <h2 class="head" id="rests">
        {PLANNER.rests}
      </h2>
      <div class="rests-on">
        <div>
          <h3>{PLANNER.granted}</h3>
          <ul>
            {printing && <li>{PLANNER.limitPrinting(`${moisture(answer.limitWtPercent)}\u00a0%`)}</li>}
            {answer.assumptions.map((said) => (
              <li key={said}>{noteIn(said, format)}</li>
            ))}
          </ul>
        </div>
        <table class="constants">
          <thead>
            <tr>
              <th scope="col">{PLANNER.constant}</th>
              <th scope="col">{PLANNER.value}</th>
              <th scope="col">{PLANNER.grade}</th>
              <th scope="col">{PLANNER.source}</th>
            </tr>
          </thead>
          <ConstantRows rows={answer.evidence.map((row) => evidenceIn(row, format))} />
        </table>
      </div>
    </section>
  );
}
