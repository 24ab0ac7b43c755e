/** The ruler itself: the only filled surface of the page, with local times and *now* on it. */
import type { Format } from '../format.ts';
import { rulerTicks } from './ticks.ts';
import type { Range } from './view.ts';

const LONG_PX = 9;
const SHORT_PX = 4;
/** Half the width of the box that holds now's clock; other words keep away from it. */
const NOW_HALF_PX = { '24h': 27, '12h': 38 } as const;

export function TimeStrip(props: {
  readonly range: Range;
  readonly clockMs: number;
  readonly nowMs: number;
  readonly topPx: number;
  readonly leftPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly format: Format;
  /** Where other words stand, px. */
  readonly busy?: readonly (readonly [fromPx: number, toPx: number])[];
  /** *Now*'s box makes room for a window in the ruler. */
  readonly nowLifted?: boolean;
}) {
  const { range, nowMs, widthPx, heightPx, format } = props;
  const x = (atMs: number): number => (widthPx * (atMs - range.fromMs)) / (range.toMs - range.fromMs);
  const nowX = x(nowMs);
  const nowShown = nowX >= 0 && nowX <= widthPx;
  const half = NOW_HALF_PX[format.preferences.clock];
  // Near an edge the box stays inside; its upright does not move with it.
  const boxX = Math.min(widthPx - 2 * half, Math.max(0, nowX - half));
  const free = (tickX: number): boolean =>
    tickX > 18 &&
    tickX < widthPx - 18 &&
    (!nowShown || Math.abs(tickX - (boxX + half)) > half + 28) &&
    !props.busy?.some(([from, to]) => tickX > from - 20 && tickX < to + 20);
  const box = props.nowLifted ? { y: -10, height: 20 } : { y: 7, height: heightPx - 14 };
  return (
    <svg
      class="strip"
      style={{ left: `${props.leftPx}px`, top: `${props.topPx}px` }}
      width={widthPx}
      height={heightPx}
      aria-hidden="true"
    >
      <rect class="well" x={0} y={0} width={widthPx} height={heightPx} />
      {rulerTicks(range, widthPx, format).map((tick) => {
        const at = x(tick.atMs);
        const length = tick.long ? LONG_PX : SHORT_PX;
        return (
          <g key={tick.atMs}>
            <path class="tick" d={`M${at} 0v${length}M${at} ${heightPx}v${-length}`} />
            {tick.text !== '' && free(at) && (
              <text x={at} y={heightPx / 2 + 4} text-anchor="middle">
                {tick.text}
              </text>
            )}
          </g>
        );
      })}
      {nowShown && (
        <>
          <path class="now" d={`M${nowX} 0v${heightPx}`} />
          <rect class="ink" x={boxX} y={box.y} width={2 * half} height={box.height} />
          <text class="inv" x={boxX + half} y={box.y + box.height / 2 + 4} text-anchor="middle">
            {format.clock(props.clockMs)}
          </text>
        </>
      )}
    </svg>
  );
}
