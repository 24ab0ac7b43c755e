/** The planner's answer as a lane: the same axis, tints, limit and hatch as the bench's. Times begin at 0. Pure. */
import type {
  DryPlan,
  LieOutPlan,
  PlanAfter,
  PlanAnswer,
  StorePlan,
} from '../../server/api/messages-plan.ts';
import type { Samples } from '../columns.ts';
import { fixed, moisture, moistureRange } from '../format.ts';
import type { Arrival, LaneBand, LaneLine, LaneSpec } from '../ruler/lane-spec.ts';
import { type LaneScale, linearScale, logScale } from '../ruler/scale.ts';
import type { Range } from '../ruler/view.ts';
import { PLAN_LANE } from '../words/planner.ts';
import { MOISTURE } from '../words/spool.ts';
import { HORIZON_S } from './plan-words.ts';
import { afterRange, spanText } from './span.ts';

/** A logarithm has no nought; this lies under any axis. */
const LEAST = 1e-4;

/** The curve that stood when the field was entered; drawn until it is left. */
export type Ghost = PlanAnswer['curve'];

/** x as the charts count it: milliseconds; for air thousandths of a degree. */
const toX = (at: number): number => 1000 * at;

export const rangeOfPlan = ({ curve }: PlanAnswer): Range => ({
  fromMs: toX(curve.at[0]!),
  toMs: toX(curve.at.at(-1)!),
});

export function planLane(answer: PlanAnswer, ghost: Ghost | null, narrow: boolean): LaneSpec {
  const { curve } = answer;
  const log = answer.kind !== 'fit';
  const samples = (of: PlanAnswer['curve'], values: readonly number[]): Samples => ({
    atMs: of.at.map(toX),
    values: values.map((value) => (log ? Math.max(LEAST, value) : value)),
    silenceMs: Number.POSITIVE_INFINITY,
  });
  const lines: LaneLine[] = [{ ...samples(curve, curve.p50), look: 'dashed', name: PLAN_LANE.median }];
  // Where there is little room, the turn that lies close to the mean gives way to words.
  if (curve.second && !(narrow && answer.kind === 'dry'))
    lines.push({
      ...samples(curve, curve.second),
      look: 'dotted',
      name: answer.kind === 'dry' ? PLAN_LANE.wettest : PLAN_LANE.mean,
    });
  if (ghost) lines.push({ ...samples(ghost, ghost.p50), look: 'dotted', name: PLAN_LANE.before });
  const band = (low: readonly number[], high: readonly number[], tint: 1 | 2): LaneBand => ({
    low: samples(curve, low),
    high: samples(curve, high),
    tint,
  });
  return {
    id: 'upper',
    substance: 'water',
    lines,
    bands: [band(curve.p05, curve.p95, 1), band(curve.p25, curve.p75, 2)],
    scale: scaleOf(answer, lines),
    head: null,
    silence: null,
    empty: null,
    ...wordsOf(answer, narrow),
    ...('limitWtPercent' in answer
      ? {
          limit: {
            value: answer.limitWtPercent,
            label: MOISTURE.limit(answer.limitKind, moisture(answer.limitWtPercent)),
          },
          ...arrivalOf(answer),
        }
      : {}),
    ...reachOf(answer),
  };
}

function wordsOf(
  answer: PlanAnswer,
  narrow: boolean,
): Pick<LaneSpec, 'title' | 'unit' | 'number'> & { readonly axisNote?: string } {
  switch (answer.kind) {
    case 'fit':
      return { title: PLAN_LANE.growth, unit: 'mm', number: (mm) => fixed(mm, 2) };
    case 'air':
      return {
        title: PLAN_LANE.humidity,
        unit: '%RH',
        axisNote: narrow ? '%RH' : PLAN_LANE.axisRh,
        number: (rh) => fixed(rh, 1),
      };
    default:
      return {
        title: answer.kind === 'lie-out' ? PLAN_LANE.outer : PLAN_LANE.moisture,
        unit: MOISTURE.unit,
        axisNote: narrow ? MOISTURE.axisShort : PLAN_LANE.axis,
        number: moisture,
      };
  }
}

/** Whole decades' steps about all that is drawn, and about the limit: the least that holds them. */
const LOG_STEPS = [0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100];

function scaleOf(answer: PlanAnswer, lines: readonly LaneLine[]): LaneScale {
  const limit = 'limitWtPercent' in answer ? [answer.limitWtPercent] : [];
  const floor = answer.kind === 'dry' && answer.floorWtPercent ? [answer.floorWtPercent.p05] : [];
  const drawn = [
    ...lines.flatMap((line) => line.values),
    ...answer.curve.p05,
    ...answer.curve.p95,
    ...limit,
    ...floor,
  ];
  if (answer.kind === 'fit')
    return linearScale({ low: Math.min(0, ...drawn), high: Math.max(0, ...drawn) }, 0.02);
  const [low, high] = [Math.min(...drawn.filter((value) => value > LEAST)), Math.max(...drawn)];
  const last = LOG_STEPS.length - 1;
  return logScale(
    LOG_STEPS.findLast((step) => step <= 0.9 * low) ?? LOG_STEPS[0]!,
    LOG_STEPS.find((step) => step >= 1.05 * high) ?? LOG_STEPS[last]!,
  );
}

function arrivalOf(answer: DryPlan | LieOutPlan | StorePlan): {
  readonly arrival?: Arrival;
  readonly warning?: string;
} {
  const [after, say] = whenOf(answer);
  const range = afterRange(after, HORIZON_S[answer.kind]);
  const { p05, p50, p95 } = after;
  if (p05 === null || range === null)
    return answer.kind === 'dry' && after.reason.p05 === 'never'
      ? { warning: MOISTURE.notReached(moisture(answer.limitWtPercent)) }
      : {};
  if (p95 === 0) return {};
  return {
    arrival: {
      value: answer.limitWtPercent,
      mark: 'ring',
      words: 'above',
      fromMs: toX(p05),
      ringMs: p50 === null ? null : toX(p50),
      toMs: p95 === null ? null : toX(p95),
      label: p50 === null ? MOISTURE.dryOpen : say(spanText(p50)),
      fromLabel: say(spanText(p05)),
      sub: range,
    },
  };
}

const whenOf = (answer: DryPlan | LieOutPlan | StorePlan): [PlanAfter, (span: string) => string] =>
  answer.kind === 'dry'
    ? [answer.dryAfterS, PLAN_LANE.dryAfter]
    : [answer.kind === 'store' ? answer.passesS : answer.outerPassesS, PLAN_LANE.passesAfter];

function reachOf(answer: PlanAnswer): Pick<LaneSpec, 'floor' | 'level'> {
  if (answer.kind === 'dry' && answer.floorWtPercent) {
    const floor = answer.floorWtPercent;
    return { floor: { value: floor.p50, ...MOISTURE.floor(moisture(floor.p50), moistureRange(floor)) } };
  }
  return {};
}
