/** Moisture across the winding, hub to outside, on the plate's axis; the tint classes stand on it as their own key. */
import { moisture, moistureRange } from '../format.ts';
import { SPOOL, WINDING } from '../words/spool.ts';
import type { SectionFrame, SectionProps } from './section-frame.ts';
import { TINT_BOUNDS, turnAt } from './winding.ts';

const POINTS = 36;
const KEY_PX = 8;
const KEY_LEFT_PX = 12;
/** A narrower winding has room for fewer words. */
const WORDY_PX = 130;

export function Profile(props: SectionProps & { frame: SectionFrame; hatched: boolean }) {
  const { spool, frame, scale, unknownSinceMs, format, nowMs, stacked } = props;
  const { winding, x, y } = frame;
  const { drying, limitWtPercent } = spool;
  const known = unknownSinceMs === null;
  const radii = Array.from(
    { length: POINTS + 1 },
    (_, index) => winding.hubMm + ((winding.outerMm - winding.hubMm) * index) / POINTS,
  );
  const turns = radii.map((radius) => ({
    x: x(radius),
    w: turnAt(winding, drying.profileWtPercent, radius),
  }));
  const points = (key: 'p05' | 'p50' | 'p95'): string[] =>
    turns.map((turn) => `${turn.x.toFixed(1)} ${y(turn.w[key]).toFixed(1)}`);
  const [left, right] = [x(winding.hubMm), x(winding.outerMm)];
  const floor = drying.floorWtPercent;
  const limitY = y(limitWtPercent);
  const wet = drying.wettestTurnWtPercent;
  // Above the band where there is room for both lines, else below it.
  const aboveY = Math.min(...turns.map((turn) => y(turn.w.p95))) - 22;
  const belowY = Math.max(...turns.map((turn) => y(turn.w.p05))) + 18;
  const wetY = aboveY >= frame.topPx + 12 ? aboveY : belowY;
  const bounds = [scale.low, ...TINT_BOUNDS.map((bound) => bound * limitWtPercent), scale.high].map((bound) =>
    Math.min(scale.high, Math.max(scale.low, bound)),
  );
  return (
    <g>
      <text class="title" x={right} y={14} text-anchor="end">
        {WINDING.title}
      </text>
      {known && props.hatched && floor && (
        <rect
          x={left}
          y={y(floor.p50)}
          width={right - left}
          height={Math.max(0, frame.bottomPx - y(floor.p50))}
          fill="url(#hatch)"
        />
      )}
      {bounds.slice(1).map((to, index) => {
        const height = y(bounds[index]!) - y(to) - 1;
        return (
          height > 0 && (
            <rect
              class={`w${index}`}
              x={left - KEY_LEFT_PX}
              y={y(to) + 0.5}
              width={KEY_PX}
              height={height}
              key={TINT_BOUNDS[index] ?? 'most'}
            />
          )
        );
      })}
      {stacked &&
        scale.ticks
          .filter((tick) => Math.abs(y(tick.at) - limitY) > 16)
          .map((tick) => (
            <text x={left - KEY_LEFT_PX - 6} y={y(tick.at) + 4} text-anchor="end" key={tick.at}>
              {tick.text}
            </text>
          ))}
      {stacked && (
        <text class="b halo" x={left - KEY_LEFT_PX - 6} y={limitY - 6} text-anchor="end">
          {WINDING.limit(moisture(limitWtPercent))}
        </text>
      )}
      {known && <path class="band" d={`M${[...points('p05'), ...points('p95').reverse()].join('L')}Z`} />}
      <line class="lim" x1={0} x2={right} y1={limitY} y2={limitY} />
      <path class={known ? 'wl' : 'ghost'} d={`M${points('p50').join('L')}`} />
      <text class={known ? 'wt halo' : 'i halo'} x={right} y={wetY} text-anchor="end">
        {known
          ? (right - left < WORDY_PX ? WINDING.wettestShort : WINDING.wettest)(
              SPOOL.percent(moisture(wet.p50)),
            )
          : WINDING.was(SPOOL.percent(moisture(wet.p50)))}
      </text>
      <text class="halo" x={right} y={wetY + 15} text-anchor="end">
        {known ? moistureRange(wet) : WINDING.atClock(moistureRange(wet), format.when(unknownSinceMs, nowMs))}
      </text>
    </g>
  );
}
