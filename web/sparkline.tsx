import { silenceLimitMs } from './columns.ts';
import { type Format, fixed, range } from './format.ts';
import type { Series } from './series.ts';
import { STATIONS } from './words/bench.ts';

const WIDTH_PX = 132;
const HEIGHT_PX = 30;
/** In g/m³ or degrees. */
const LEAST_SPAN = 1;
/** Room for the dot at the end. */
const INSET_PX = 5;

export interface SparklineProps {
  readonly series: Series | null;
  readonly watched: 'vapour' | 't';
  readonly intervalMs: number | null;
  readonly quiet: boolean;
  readonly fromMs: number;
  readonly toMs: number;
  readonly format: Format;
}

/** The last two hours on a scale of their own; the range stands beneath in words. A gap stays a gap. */
export function Sparkline(props: SparklineProps) {
  const { series, watched, fromMs, toMs, format } = props;
  const shown = watched === 't' ? format.shownTemperature : (value: number) => value;
  const points = (series?.atMs ?? [])
    .map((atMs, index) => ({ atMs, value: shown(series!.mean[index]!) }))
    .filter((point) => point.atMs >= fromMs);
  const what = STATIONS.watched[watched] ?? watched;
  if (!series || points.length === 0) return <span class="n">{STATIONS.sparkNone}</span>;
  const low = Math.min(...points.map((point) => point.value));
  const high = Math.max(...points.map((point) => point.value));
  // A flat line stays flat and in the middle instead of showing a sensor's noise as hills.
  const pad = Math.max(LEAST_SPAN, high - low);
  const middle = (low + high) / 2;
  const x = (atMs: number): number => ((WIDTH_PX - 8) * (atMs - fromMs)) / (toMs - fromMs);
  const y = (value: number): number => HEIGHT_PX / 2 - ((HEIGHT_PX - 2 * INSET_PX) * (value - middle)) / pad;
  const limitMs = silenceLimitMs(series, props.intervalMs);
  let path = '';
  let previousMs = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    const verb = point.atMs - previousMs > limitMs ? 'M' : 'L';
    path += `${verb}${x(point.atMs).toFixed(1)} ${y(point.value).toFixed(1)}`;
    previousMs = point.atMs;
  }
  const last = points.at(-1)!;
  const [endX, endY] = [x(last.atMs), y(last.value)];
  return (
    <>
      <svg
        viewBox={`0 0 ${WIDTH_PX} ${HEIGHT_PX}`}
        preserveAspectRatio="xMinYMid"
        role="img"
        aria-label={STATIONS.sparkLabel(what, fixed(low, 1), fixed(high, 1))}
      >
        <path class={watched === 't' ? 'hl' : 'wl'} d={path} />
        {props.quiet ? (
          <path class="lim end" d={`M${endX - 4} ${endY - 4}l8 8m0 -8l-8 8`} />
        ) : (
          <circle class="ink" cx={endX} cy={endY} r={2.6} />
        )}
      </svg>
      <span class="n">{`${what} ${fixed(low, 1) === fixed(high, 1) ? fixed(low, 1) : range(low, high, 1)}`}</span>
    </>
  );
}
