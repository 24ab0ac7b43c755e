/** What happened at a time: a triangle below the lane's first line, and its words to the left of it, else to the right. */
import type { LaneProps } from './lane-props.ts';
import type { LaneEvent } from './lane-spec.ts';
import { valueNear } from './sample-near.ts';

const CHARACTER_PX = 6.8;
const DROP_PX = 9;

export function EventMark(
  props: LaneProps & { event: LaneEvent; x: (atMs: number) => number; y: (value: number) => number },
) {
  const { event, spec, range, widthPx, heightPx, narrow } = props;
  if (event.atMs < range.fromMs || event.atMs > range.toMs) return null;
  const line = spec.lines[0];
  const value = line ? valueNear(line, event.atMs) : null;
  const x = props.x(event.atMs);
  const lineY = value === null ? heightPx / 2 : props.y(value);
  const topY = Math.min(heightPx - 34, lineY + DROP_PX);
  const words = Math.max(event.label.length, narrow ? 0 : event.sub.length) * CHARACTER_PX;
  const left = x - 10 - words >= 0;
  const textX = left ? x - 8 : x + 8;
  const anchor = left ? 'end' : 'start';
  return words <= widthPx ? (
    <>
      <path class="ink" d={`M${x} ${topY}l5 9h-10z`} />
      <text class="b halo" x={textX} y={topY + 10} text-anchor={anchor}>
        {event.label}
      </text>
      {!narrow && event.sub !== '' && (
        <text class="halo" x={textX} y={topY + 26} text-anchor={anchor}>
          {event.sub}
        </text>
      )}
    </>
  ) : null;
}
