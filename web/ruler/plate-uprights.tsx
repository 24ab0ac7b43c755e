/** The two uprights through both lanes: now, and the time that is being read. */
import { PLATE } from '../words/bench.ts';
import type { LaneSpec } from './lane-spec.ts';
import type { Laid } from './plate-props.ts';

const xIn = ({ layout, range }: Laid, atMs: number): number =>
  layout.leftPx + (layout.widthPx * (atMs - range.fromMs)) / (range.toMs - range.fromMs);
const shows = ({ range }: Laid, atMs: number): boolean => atMs >= range.fromMs && atMs <= range.toMs;

/** *Now*, the only thick upright. It lies under the lanes' words and rings. */
export function Now(props: Laid) {
  const { layout, nowMs, cursorMs } = props;
  if (!shows(props, nowMs)) return null;
  const x = xIn(props, nowMs);
  const { upperTopPx, stripTopPx, lowerTopPx, bottomPx } = layout;
  // Dashed where its lane has fallen silent: nothing is known there.
  const look = (lane: LaneSpec): string => (lane.silence ? 'now unknown' : 'now');
  const edge = layout.leftPx + layout.widthPx;
  const cursorNear = cursorMs !== null && Math.abs(xIn(props, cursorMs) - x) <= 44;
  return (
    <svg class="layer" width={edge} height={layout.heightPx} aria-hidden="true">
      <line class={look(props.upper)} x1={x} x2={x} y1={upperTopPx - 6} y2={stripTopPx} />
      <line class={look(props.lower)} x1={x} x2={x} y1={lowerTopPx} y2={bottomPx} />
      {!cursorNear && (
        <text class="b" x={Math.min(edge - 12, x)} y={upperTopPx - 10} text-anchor="middle">
          {PLATE.now}
        </text>
      )}
    </svg>
  );
}

/** The thin upright of the time that is being read. */
export function ReadingTime(props: Laid) {
  const { layout, cursorMs, format } = props;
  if (cursorMs === null || !shows(props, cursorMs)) return null;
  const x = xIn(props, cursorMs);
  const edge = layout.leftPx + layout.widthPx;
  return (
    <svg class="layer" width={edge} height={layout.heightPx} aria-hidden="true">
      <line class="cur" x1={x} x2={x} y1={layout.upperTopPx - 6} y2={layout.bottomPx} />
      <text
        class="b halo"
        x={Math.min(edge - 18, Math.max(18, x))}
        y={layout.upperTopPx - 10}
        text-anchor="middle"
      >
        {format.clock(cursorMs)}
      </text>
    </svg>
  );
}
