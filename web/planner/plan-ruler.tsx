/** The ruler under a planned lane: time from the start in a person's units, or degrees. Begins with *start*. */
import type { Format } from '../format.ts';
import { roundStep } from '../ruler/scale.ts';
import type { Range } from '../ruler/view.ts';
import { PLAN_LANE } from '../words/planner.ts';

export interface PlanTick {
  readonly x: number;
  readonly text: string;
}

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
/** Steps with the unit that they are counted in: words stand at each, the same unit all along. */
const STEPS: readonly (readonly [stepMs: number, unitMs: number, unit: keyof typeof PLAN_LANE.ruler])[] = [
  ...[5, 10, 15, 20].map((n) => [n * 60_000, 60_000, 'min'] as const),
  ...[0.5, 1, 2, 3, 6].map((n) => [n * HOUR, HOUR, 'h'] as const),
  ...[0.5, 1, 2, 5, 10, 15].map((n) => [n * DAY, DAY, 'day'] as const),
  ...[1, 2, 3, 6].map((n) => [n * 30 * DAY, 30 * DAY, 'month'] as const),
  [365 * DAY, 365 * DAY, 'year'],
];
/** Least distance between two words. */
const WORDS_PX = 64;

export function timeTicks({ toMs }: Range, widthPx: number): PlanTick[] {
  const roomMs = (WORDS_PX * toMs) / Math.max(1, widthPx);
  const [stepMs, unitMs, unit] = STEPS.find(([step]) => step >= roomMs) ?? STEPS.at(-1)!;
  const ticks: PlanTick[] = [];
  for (let n = 1; n * stepMs <= toMs * 1.001; n++)
    ticks.push({
      x: (widthPx * n * stepMs) / toMs,
      text: `${Number(((n * stepMs) / unitMs).toFixed(1))}\u00a0${PLAN_LANE.ruler[unit]}`,
    });
  return ticks;
}

export function degreeTicks({ fromMs, toMs }: Range, widthPx: number, format: Format): PlanTick[] {
  const [from, to] = [fromMs, toMs].map((x) => format.shownTemperature(x / 1000)) as [number, number];
  const step = roundStep(to - from, Math.max(2, Math.min(12, widthPx / WORDS_PX)));
  const ticks: PlanTick[] = [];
  for (let n = Math.ceil(from / step); n * step <= to + 1e-9; n++)
    ticks.push({
      x: (widthPx * (n * step - from)) / (to - from),
      text: String(Number((n * step).toFixed(1))),
    });
  return ticks;
}

const LONG_PX = 9;
const START_PX = 46;

export function PlanRuler(props: {
  readonly ticks: readonly PlanTick[];
  readonly begin: string | null;
  readonly topPx: number;
  readonly leftPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
}) {
  const { ticks, begin, widthPx, heightPx } = props;
  const free = (x: number): boolean => x < widthPx - 20 && x > (begin === null ? 14 : START_PX + 26);
  return (
    <svg
      class="strip"
      style={{ left: `${props.leftPx}px`, top: `${props.topPx}px` }}
      width={widthPx}
      height={heightPx}
      aria-hidden="true"
    >
      <rect class="well" x={0} y={0} width={widthPx} height={heightPx} />
      {ticks.map(({ x, text }) => (
        <g key={x}>
          <path class="tick" d={`M${x} 0v${LONG_PX}M${x} ${heightPx}v${-LONG_PX}`} />
          {free(x) && (
            <text x={x} y={heightPx / 2 + 4} text-anchor="middle">
              {text}
            </text>
          )}
        </g>
      ))}
      {begin !== null && (
        <>
          <path class="now" d={`M1 0v${heightPx}`} />
          <rect class="ink" x={0} y={7} width={START_PX} height={heightPx - 14} />
          <text class="inv" x={START_PX / 2} y={heightPx / 2 + 4} text-anchor="middle">
            {begin}
          </text>
        </>
      )}
    </svg>
  );
}
