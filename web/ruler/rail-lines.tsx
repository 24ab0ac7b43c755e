/** Two rails about the value that a lane ends at or is held at, from a time on, with their words at the right. */
import type { LaneProps } from './lane-props.ts';
import type { Rails } from './lane-spec.ts';

const CHARACTER_PX = 6.4;
const WORDS_PX = 16;

export function RailLines(
  props: LaneProps & { rails: Rails; x: (atMs: number) => number; y: (value: number) => number },
) {
  const { rails, spec, x, y, widthPx, heightPx } = props;
  const from = Math.max(0, x(rails.fromMs));
  if (from >= widthPx) return null;
  const [highY, lowY] = [y(rails.high), y(rails.low)];
  const wordsFrom = widthPx - 4 - rails.label.length * CHARACTER_PX;
  // Not through the upright of an arrival, nor below the lane: then above the rails.
  const uprightX = spec.arrival ? x(spec.arrival.ringMs ?? spec.arrival.fromMs) : null;
  const crossed = uprightX !== null && uprightX > wordsFrom - 8 && spec.arrival?.words === 'below';
  const below = !crossed && lowY + WORDS_PX + 4 <= heightPx;
  return (
    <>
      {[highY, lowY].map((railY) => (
        <line class="lim" x1={from} x2={widthPx} y1={railY} y2={railY} key={railY} />
      ))}
      <text
        class="halo"
        x={widthPx - 4}
        y={below ? lowY + WORDS_PX : Math.max(12, highY - 6)}
        text-anchor="end"
      >
        {rails.label}
      </text>
    </>
  );
}
