/** Lengths of time as a person says them: two figures at most, and one unit. Pure. */
import type { PlanAfter } from '../../server/api/messages-plan.ts';
import { EN_DASH, fixed, withUnit } from '../format.ts';
import { PLAN_ANSWER, SPAN_UNITS } from '../words/planner.ts';

const MINUTE = 60;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const MONTH = 30 * DAY;
const YEAR = 365 * DAY;

interface Said {
  readonly figure: string;
  readonly unit: keyof typeof SPAN_UNITS;
}

const UNITS: readonly (readonly [unit: Said['unit'], seconds: number, upTo: number])[] = [
  ['s', 1, 90],
  ['min', MINUTE, 90 * MINUTE],
  ['h', HOUR, 2 * DAY],
  ['day', DAY, 90 * DAY],
  ['month', MONTH, 2 * YEAR],
  ['year', YEAR, Number.POSITIVE_INFINITY],
];

function said(seconds: number): Said {
  const [unit, length] = UNITS.find(([, , upTo]) => seconds < upTo) ?? UNITS[0]!;
  const value = seconds / length;
  // 5.4 h, 34 h: a decimal only where the second figure is one.
  return {
    figure: fixed(value, value < 9.95 && unit !== 's' && unit !== 'min' ? 1 : 0).replace(/\.0$/, ''),
    unit,
  };
}
const words = ({ figure, unit }: Said): string => withUnit(figure, SPAN_UNITS[unit](Number(figure)));

/** "34 h", "2.6 days". */
export const spanText = (seconds: number): string => words(said(seconds));

/** "12–34 h", "12 h to 2.6 days". */
export function spanRange(fromS: number, toS: number): string {
  const [from, to] = [said(fromS), said(toS)];
  if (from.unit !== to.unit) return PLAN_ANSWER.between(words(from), words(to));
  if (from.figure === to.figure) return words(to);
  return words({ figure: `${from.figure}${EN_DASH}${to.figure}`, unit: to.unit });
}

/** The nine in ten of a time, with an open end where its late end never comes or lies beyond the horizon. */
export function afterRange(after: PlanAfter, horizonS: number): string | null {
  if (after.p05 === null) return null;
  const from = after.p05 === 0 ? PLAN_ANSWER.noTime : spanText(after.p05);
  if (after.p95 !== null)
    return after.p05 === 0 ? PLAN_ANSWER.atMost(spanText(after.p95)) : spanRange(after.p05, after.p95);
  return after.reason.p95 === 'never'
    ? PLAN_ANSWER.orNever(from)
    : PLAN_ANSWER.orLater(from, spanText(horizonS));
}
