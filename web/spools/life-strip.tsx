/** A spool's moisture over two weeks: the moisture lane made small. Gaps stay gaps; the limit is its one line. */
import { moisture } from '../format.ts';
import { logScale, toY } from '../ruler/scale.ts';
import { SPOOLS } from '../words/spools.ts';
import { type BandPoint, FIT_MS, LIFE_MS } from './life.ts';

const WIDTH = 240;
const HEIGHT = 56;
const SCALE = logScale(0.02, 10);

export function LifeStrip(props: {
  readonly points: readonly BandPoint[];
  readonly limitWtPercent: number;
  readonly nowMs: number;
}) {
  const { points, nowMs } = props;
  const x = (atMs: number): string => (WIDTH * (1 - (nowMs - atMs) / LIFE_MS)).toFixed(1);
  const y = (value: number): string => toY(SCALE, HEIGHT, value).toFixed(1);
  const pieces = piecesOf(points);
  const [first, last] = [points[0], points.at(-1)];
  const label =
    first && last
      ? SPOOLS.strip(`${moisture(first.middle)}\u00a0%`, `${moisture(last.middle)}\u00a0%`)
      : SPOOLS.stripNone;
  return (
    <svg
      class="life"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={label}
    >
      <rect class="well" x="0" y="0" width={WIDTH} height={HEIGHT} />
      {pieces.map((piece) => (
        <g key={piece[0]!.atMs}>
          <path
            class="band"
            d={`M${piece.map((p) => `${x(p.atMs)} ${y(p.high)}`).join('L')}L${piece
              .toReversed()
              .map((p) => `${x(p.atMs)} ${y(p.low)}`)
              .join('L')}Z`}
          />
          <path class="wl" d={`M${piece.map((p) => `${x(p.atMs)} ${y(p.middle)}`).join('L')}`} />
        </g>
      ))}
      <path class="lim" d={`M0 ${y(props.limitWtPercent)}H${WIDTH}`} />
    </svg>
  );
}

/** Runs of estimates with no longer silence between them than a few fits, or than the strip can tell apart. */
function piecesOf(points: readonly BandPoint[]): BandPoint[][] {
  const longestMs = Math.max(3 * FIT_MS, (3 * LIFE_MS) / WIDTH);
  const pieces: BandPoint[][] = [];
  for (const point of points) {
    const piece = pieces.at(-1);
    if (piece && point.atMs - piece.at(-1)!.atMs <= longestMs) piece.push(point);
    else pieces.push([point]);
  }
  return pieces;
}
