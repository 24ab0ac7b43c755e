/** The planner's answers as lines a person reads in a terminal. */
import type { AnyAnswer } from '../planner/answer.ts';
import type { Evidence, Quantiles, TimeQuantiles } from '../planner/plan-answer.ts';

const MINUTE = 60;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

/** "40 min", "14 h", "3.5 days", "8 months": two figures at most. */
export function spanText(seconds: number): string {
  if (seconds < 90 * MINUTE) return `${Math.round(seconds / MINUTE)} min`;
  if (seconds < 10 * HOUR) return `${(seconds / HOUR).toFixed(1)} h`;
  if (seconds < 2 * DAY) return `${Math.round(seconds / HOUR)} h`;
  if (seconds < 10 * DAY) return `${(seconds / DAY).toFixed(1)} days`;
  if (seconds < 90 * DAY) return `${Math.round(seconds / DAY)} days`;
  return `${Math.round(seconds / (30 * DAY))} months`;
}

const LATE = { never: 'never', beyond: 'later than is looked ahead', 'no-run': 'not known' } as const;
function afterText(after: TimeQuantiles): string {
  const end = (name: 'p05' | 'p50' | 'p95'): string => {
    const seconds = after[name];
    return seconds === null ? LATE[after.reason[name] ?? 'beyond'] : spanText(seconds);
  };
  return `${end('p50')} (nine in ten: ${end('p05')} to ${end('p95')})`;
}

const figure = (value: number, decimals: number): string => value.toFixed(decimals).replace('-0.00', '0.00');
const band = (of: Quantiles, decimals: number, unit: string): string =>
  `${figure(of.p50, decimals)} ${unit} (${figure(of.p05, decimals)} to ${figure(of.p95, decimals)})`;

function rowsOf(answer: AnyAnswer): [string, string][] {
  switch (answer.kind) {
    case 'dry':
      return [
        ['at the start', band(answer.startWtPercent, 2, 'wt %')],
        ['dry, on average, after', afterText(answer.dryAfterS)],
        ['every turn dry after', afterText(answer.throughAfterS)],
        [
          'floor of this air',
          answer.floorWtPercent === null ? 'none: a closed box' : band(answer.floorWtPercent, 2, 'wt %'),
        ],
        ['never in this air', `${Math.round(100 * answer.pNever)} in 100`],
      ];
    case 'lie-out':
      return [
        ['outer turns over it after', afterText(answer.outerPassesS)],
        ['the spool on average after', afterText(answer.meanPassesS)],
        ['level with this room', band(answer.levelWtPercent, 2, 'wt %')],
      ];
    case 'store':
      return [
        ['over it after', afterText(answer.passesS)],
        ['let in by the bag', band(answer.inflowGPerDay, 4, 'g a day')],
        [
          'desiccant for a year',
          answer.desiccantForYearG === null
            ? 'none that a bag would hold'
            : band(answer.desiccantForYearG, 0, 'g'),
        ],
        ['limit is level with air of', band(answer.limitRhPercent, 1, '%RH')],
      ];
    case 'fit':
      return [
        ['water gained in the end', band(answer.gainWtPercent, 2, 'wt %')],
        ['grows in the end by', band(answer.growthMm, 3, 'mm')],
        ['half of that after', afterText(answer.halfGrownS)],
        ['clearance to leave', `${figure(answer.clearanceMm, 2)} mm on ${answer.question.sizeMm} mm`],
      ];
    case 'air':
      return [['heated', `${figure(answer.heatedRhPercent.middle, 1)} %RH`]];
  }
}

const evidenceText = ({ quantity, value, unit, sources, grade }: Evidence): string =>
  `  ${quantity}: ${Number(value.toPrecision(3))} ${unit} (${grade}; ${sources.join('; ')})`;

export function describePlan(answer: AnyAnswer): string {
  const rows = rowsOf(answer);
  if ('limitWtPercent' in answer)
    rows.unshift([
      'limit',
      `${answer.limitWtPercent} wt % of dry polymer, ${answer.limitKind === 'own' ? 'as asked' : 'where printing troubles begin: common practice, no source'}`,
    ]);
  const width = Math.max(...rows.map(([label]) => label.length));
  return [
    ...rows.map(([label, text]) => `${label.padEnd(width)}  ${text}`),
    ...answer.notes.map((note) => `! ${note}`),
    'Taken for granted:',
    ...answer.assumptions.map((assumption) => `  ${assumption}`),
    'Rests on:',
    ...answer.evidence.map(evidenceText),
  ].join('\n');
}
