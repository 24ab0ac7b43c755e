/** A spool's moisture over two weeks: the moisture lane made small. Gaps stay gaps; the limit is its one line. */
import { moisture } from '../format.ts';
import { logScale, toY } from '../ruler/scale.ts';
import { SPOOLS } from '../words/spools.ts';
import { type BandPoint, FIT_MS, LIFE_MS } from './life.ts';

const DAY_MS = 86_400_000;

/** Days that the strip shows: as far back as anything is known, a day at least. */
export function stripDays(points: readonly BandPoint[], nowMs: number): number {
  const sinceMs = nowMs - (points[0]?.atMs ?? nowMs);
  return Math.min(LIFE_MS / DAY_MS, Math.max(1, Math.ceil(sinceMs / DAY_MS)));
}

const WIDTH = 240;
const HEIGHT = 56;
const SCALE = logScale(0.02, 10);

export function LifeStrip(props: {
  readonly points: readonly BandPoint[];
  readonly limitWtPercent: number;
  readonly nowMs: number;
}) {
  const { points, nowMs } = props;
  const spanMs = DAY_MS * stripDays(points, nowMs);
  const x = (atMs: number): string => (WIDTH * Math.max(0, 1 - (nowMs - atMs) / spanMs)).toFixed(1);
  const y = (value: number): string => toY(SCALE, HEIGHT, value).toFixed(1);
  const pieces = piecesOf(points, spanMs);
  const [first, last] = [points[0], points.at(-1)];
  const label =
    first && last
      ? SPOOLS.strip(
          stripDays(points, nowMs),
          `${moisture(first.middle)}\u00a0%`,
          `${moisture(last.middle)}\u00a0%`,
        )
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
function piecesOf(points: readonly BandPoint[], spanMs: number): BandPoint[][] {
  const longestMs = Math.max(3 * FIT_MS, (3 * spanMs) / WIDTH);
  const pieces: BandPoint[][] = [];
  for (const point of points) {
    const piece = pieces.at(-1);
    if (piece && point.atMs - piece.at(-1)!.atMs <= longestMs) piece.push(point);
    else pieces.push([point]);
  }
  return pieces;
}
