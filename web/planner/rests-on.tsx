/** What an answer rests on: what was taken for granted, and each constant with its source and grade. */
import type { PlanAnswer, PlanEvidence } from '../../server/api/messages-plan.ts';
import { type Format, fixed, moisture, withUnit } from '../format.ts';
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
          <tbody>
            {answer.evidence
              .map((row) => evidenceIn(row, format))
              .map((row) => (
                <tr key={row.quantity}>
                  <th scope="row">{row.quantity}</th>
                  <td>{valueText(row)}</td>
                  <td>{row.grade}</td>
                  <td>{row.sources.join('; ')}</td>
                </tr>
              ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

/** Three figures; very small ones as a power of ten, which these constants are known by. */
function valueText({ value, unit }: PlanEvidence): string {
  const size = Math.abs(value);
  if (size > 0 && size < 1e-3) {
    const power = Math.floor(Math.log10(size));
    return withUnit(`${fixed(value / 10 ** power, 1)} · 10${superscript(power)}`, unit);
  }
  const decimals = Math.max(0, Math.min(3, 2 - Math.floor(Math.log10(size || 1))));
  return withUnit(
    fixed(value, decimals)
      .replace(/(\.\d*?)0+$/, '$1')
      .replace(/\.$/, ''),
    unit,
  );
}

const DIGITS = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const superscript = (power: number): string =>
  String(power)
    .replace('-', '⁻')
    .replace(/\d/g, (digit) => DIGITS[Number(digit)] ?? digit);
