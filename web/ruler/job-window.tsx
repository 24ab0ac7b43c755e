/** A running job as a window in the ruler, filled as far as it is printed; or the flag of a start that is asked about. */
import type { Laid } from './plate-props.ts';

const CHARACTER_PX = 6.8;
const BOX_PX = { top: 12, height: 14 } as const;
const FLAG_WORDS_PX = 20;

export function JobWindow(props: Laid) {
  const { layout, range, nowMs, window, start } = props;
  const { leftPx, widthPx, upperTopPx, stripTopPx, stripPx, lowerTopPx, bottomPx } = layout;
  const x = (atMs: number): number =>
    leftPx + (widthPx * (atMs - range.fromMs)) / (range.toMs - range.fromMs);
  const inside = (at: number): number => Math.min(leftPx + widthPx, Math.max(leftPx, at));
  const shown = (atMs: number): boolean => atMs >= range.fromMs && atMs <= range.toMs;
  const upright = (atMs: number) =>
    shown(atMs) && (
      <path
        class="cur dashed"
        d={`M${x(atMs)} ${upperTopPx}V${stripTopPx + BOX_PX.top}M${x(atMs)} ${lowerTopPx}V${bottomPx}`}
        key={atMs}
      />
    );
  const boxY = stripTopPx + BOX_PX.top;
  const [from, to] = window ? [inside(x(window.fromMs)), inside(x(window.toMs))] : [0, 0];
  const done = window ? Math.min(to, inside(x(nowMs))) : 0;
  const fits = (words: string, px: number): boolean => words.length * CHARACTER_PX + 10 < px;
  return (
    <svg class="layer" width={leftPx + widthPx} height={layout.heightPx} aria-hidden="true">
      {window && to > from && (
        <>
          <rect class="job-window" x={from} y={boxY} width={to - from} height={BOX_PX.height} />
          <rect class="ink" x={from} y={boxY} width={Math.max(0, done - from)} height={BOX_PX.height} />
          {upright(window.fromMs)}
          {upright(window.toMs)}
          {fits(window.name, done - from) && (
            <text class="inv" x={from + 6} y={boxY + 11}>
              {window.name}
            </text>
          )}
          {fits(window.ends, to - done) && (
            <text class="i" x={to - 5} y={boxY + 11} text-anchor="end">
              {window.ends}
            </text>
          )}
        </>
      )}
      {start && shown(start.atMs) && (
        <>
          {upright(start.atMs)}
          <path class="lim flag" d={`M${x(start.atMs)} ${stripTopPx + 2}v${stripPx - 4}`} />
          <path class="ink" d={`M${x(start.atMs)} ${stripTopPx + 9}l16 10l-16 10z`} />
          <text class="b" x={x(start.atMs) + FLAG_WORDS_PX} y={stripTopPx + stripPx / 2 + 4}>
            {start.label}
          </text>
        </>
      )}
    </svg>
  );
}

/** Where the strip's own words keep away, in px from its left. */
export function busyPx(props: Laid): readonly (readonly [fromPx: number, toPx: number])[] {
  const { layout, range, window, start } = props;
  const x = (atMs: number): number => (layout.widthPx * (atMs - range.fromMs)) / (range.toMs - range.fromMs);
  return [
    ...(window ? [[x(window.fromMs), x(window.toMs)] as const] : []),
    ...(start
      ? [[x(start.atMs), x(start.atMs) + FLAG_WORDS_PX + start.label.length * CHARACTER_PX] as const]
      : []),
  ];
}
