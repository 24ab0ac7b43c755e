/** When something is there: the bar lies on its line where the fan crosses it, the mark at the median's crossing. */
import type { LaneProps } from './lane-props.ts';
import type { Arrival } from './lane-spec.ts';

const CHARACTER_PX = 6.8;
const SUB_GAP_PX = 7;
/** Depth of the words below the lane's top, and height of the last of them above its foot. */
const WORDS_PX = { wide: 40, narrow: 34 } as const;
const FOOT_PX = 14;
/** Words below their line want this much height between the two. */
const LEAST_BELOW_PX = 40;
const NARROW_LINE_PX = 16;

export function ArrivalMark(props: LaneProps & { arrival: Arrival; x: (atMs: number) => number; y: number }) {
  const { arrival, spec, x, y, widthPx, heightPx, narrow } = props;
  const tone = spec.substance === 'water' ? 'wt' : 'ht';
  const stroke = spec.substance === 'water' ? 'wl' : 'hl';
  const from = Math.max(0, x(arrival.fromMs));
  if (from > widthPx) return <Beyond {...props} tone={tone} stroke={stroke} />;
  const open = arrival.toMs === null || x(arrival.toMs) > widthPx;
  const to = arrival.toMs === null ? widthPx : Math.min(widthPx, Math.max(0, x(arrival.toMs)));
  // All of it lies left of the ruler.
  if (to === 0 && !open) return null;
  const markX = arrival.ringMs === null ? null : x(arrival.ringMs);
  const markShown = markX !== null && markX >= 0 && markX <= widthPx;
  const anchorX = markShown ? markX : from;
  const label = markShown ? arrival.label : arrival.fromLabel;
  const twoLines = narrow && arrival.sub !== '';
  const words = twoLines ? Math.max(label.length, arrival.sub.length) : label.length + arrival.sub.length + 1;
  // To the right of the upright where the words fit, else to its left, else flush with the edge.
  const needed = words * CHARACTER_PX;
  const right = anchorX - 8 + needed <= widthPx;
  const textX = right ? Math.max(2, anchorX - 8) : widthPx;
  const lines = twoLines ? NARROW_LINE_PX : 0;
  const footY = heightPx - FOOT_PX - lines;
  const below = arrival.words === 'below' && footY - y >= LEAST_BELOW_PX;
  const aboveY = arrival.words === 'below' ? y - 26 - lines : narrow ? WORDS_PX.narrow : WORDS_PX.wide;
  const wordsY = below ? footY : aboveY;
  const lastWordsY = wordsY + lines;
  const clear = arrival.mark === 'none' || !markShown ? 6 : 7;
  return (
    <>
      <line class={`${stroke} bar`} x1={from} x2={to} y1={y} y2={y} />
      <line class={stroke} x1={from} x2={from} y1={y - 6} y2={y + 6} />
      {open ? (
        <path class={stroke} d={`M${to - 7} ${y - 6}l7 6l-7 6`} />
      ) : (
        <line class={stroke} x1={to} x2={to} y1={y - 6} y2={y + 6} />
      )}
      <line
        class="cur"
        x1={anchorX}
        x2={anchorX}
        y1={below ? wordsY - 13 : lastWordsY + 6}
        y2={below ? y + clear : y - clear}
      />
      {markShown && arrival.mark === 'ring' && <circle class={`ring ${tone}`} cx={markX} cy={y} r={6.5} />}
      {markShown && arrival.mark === 'rails' && (
        <>
          <rect class="paper" x={markX - 6} y={y - 5} width={12} height={10} />
          <path class={`${stroke} rails`} d={`M${markX - 6} ${y - 4}h12M${markX - 6} ${y + 4}h12`} />
        </>
      )}
      <text class={`${tone} halo`} x={textX} y={wordsY} text-anchor={right ? 'start' : 'end'}>
        {label}
        {!twoLines && arrival.sub !== '' && (
          <tspan class="second" dx={SUB_GAP_PX}>
            {arrival.sub}
          </tspan>
        )}
      </text>
      {twoLines && (
        <text class="halo" x={textX} y={lastWordsY} text-anchor={right ? 'start' : 'end'}>
          {arrival.sub}
        </text>
      )}
    </>
  );
}

/** It lies beyond the right edge: an arrow there, and the words. */
function Beyond(props: { arrival: Arrival; y: number; widthPx: number; tone: string; stroke: string }) {
  const { arrival, y, widthPx } = props;
  return (
    <>
      <path class={props.stroke} d={`M${widthPx - 7} ${y - 6}l7 6l-7 6`} />
      <text
        class={`${props.tone} halo`}
        x={widthPx - 12}
        y={arrival.words === 'below' ? y + 18 : y - 9}
        text-anchor="end"
      >
        {arrival.label}
        <tspan class="second" dx={SUB_GAP_PX}>
          {arrival.sub}
        </tspan>
      </text>
    </>
  );
}
