/** When a limit is met: the bar lies on the limit's line where the fan crosses it, the ring at the median's crossing. */
import type { LaneProps } from './lane-props.ts';
import type { Arrival } from './lane-spec.ts';

const CHARACTER_PX = 6.8;
const SUB_GAP_PX = 7;
/** Depth of the words below the lane's top. */
const WORDS_PX = { wide: 40, narrow: 34 } as const;
const NARROW_LINE_PX = 16;

export function ArrivalMark(
  props: LaneProps & { arrival: Arrival; x: (atMs: number) => number; limitY: number },
) {
  const { arrival, x, limitY: y, widthPx, narrow } = props;
  const from = Math.max(0, x(arrival.fromMs));
  if (from > widthPx) return <Beyond {...props} />;
  const open = arrival.toMs === null || x(arrival.toMs) > widthPx;
  const to = arrival.toMs === null ? widthPx : Math.min(widthPx, Math.max(0, x(arrival.toMs)));
  const ringX = arrival.ringMs === null ? null : x(arrival.ringMs);
  const ringShown = ringX !== null && ringX >= 0 && ringX <= widthPx;
  const anchorX = ringShown ? ringX : from;
  const words = narrow
    ? Math.max(arrival.label.length, arrival.sub.length)
    : arrival.label.length + arrival.sub.length + 1;
  // To the right of the upright where the words fit, else to its left, else flush with the edge.
  const needed = words * CHARACTER_PX;
  const right = anchorX - 8 + needed <= widthPx;
  const textX = right ? anchorX - 8 : widthPx;
  const wordsY = narrow ? WORDS_PX.narrow : WORDS_PX.wide;
  const lastWordsY = narrow ? wordsY + NARROW_LINE_PX : wordsY;
  return (
    <>
      <line class="wl bar" x1={from} x2={to} y1={y} y2={y} />
      <line class="wl" x1={from} x2={from} y1={y - 6} y2={y + 6} />
      {open ? (
        <path class="wl" d={`M${to - 7} ${y - 6}l7 6l-7 6`} />
      ) : (
        <line class="wl" x1={to} x2={to} y1={y - 6} y2={y + 6} />
      )}
      <line class="cur" x1={anchorX} x2={anchorX} y1={lastWordsY + 6} y2={ringShown ? y - 7 : y - 6} />
      {ringShown && <circle class="ring wt" cx={ringX} cy={y} r={6.5} />}
      <text class="wt halo" x={textX} y={wordsY} text-anchor={right ? 'start' : 'end'}>
        {ringShown ? arrival.label : arrival.fromLabel}
        {!narrow && (
          <tspan class="second" dx={SUB_GAP_PX}>
            {arrival.sub}
          </tspan>
        )}
      </text>
      {narrow && (
        <text class="halo" x={textX} y={lastWordsY} text-anchor={right ? 'start' : 'end'}>
          {arrival.sub}
        </text>
      )}
    </>
  );
}

/** It lies beyond the right edge: an arrow there, and the words. */
function Beyond({ arrival, limitY: y, widthPx }: { arrival: Arrival; limitY: number; widthPx: number }) {
  return (
    <>
      <path class="wl" d={`M${widthPx - 7} ${y - 6}l7 6l-7 6`} />
      <text class="wt halo" x={widthPx - 12} y={y - 9} text-anchor="end">
        {arrival.label}
        <tspan class="second" dx={SUB_GAP_PX}>
          {arrival.sub}
        </tspan>
      </text>
    </>
  );
}
