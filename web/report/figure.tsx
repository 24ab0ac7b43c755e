/** One chart of a report as vectors, so that it prints sharply: bands, lines, level rules, a time axis. */
import type { Format } from '../format.ts';
import { type LaneScale, linearScale, logScale, toY } from '../ruler/scale.ts';
import { rulerTicks } from '../ruler/ticks.ts';
import { REPORT } from '../words/report.ts';

export interface Curve {
  readonly atMs: readonly number[];
  readonly values: readonly number[];
  readonly dashed?: boolean;
  /** A gap in time longer than this breaks the line. */
  readonly gapMs: number;
}
export interface Band {
  readonly atMs: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}
export interface Level {
  readonly value: number;
  readonly label: string;
}
export interface FigureSpec {
  readonly title: string;
  readonly unit: string;
  readonly substance: 'water' | 'heat';
  readonly kind: 'linear' | 'log';
  /** Least height of the axis, in its unit. */
  readonly leastSpan: number;
  readonly curves: readonly Curve[];
  readonly bands: readonly Band[];
  readonly levels: readonly Level[];
}

/** Text of a figure is not to shrink on a phone: it is drawn narrower there. */
const WIDE_PX = 960;
const NARROW_PX = 380;
const HEIGHT = 200;
const LEFT = 44;
const FOOT = 24;
const LABEL_GAP = 5;
/** Room for half a figure's height above the top step. */
const HEAD = 8;

interface FigureProps {
  readonly spec: FigureSpec;
  readonly fromMs: number;
  readonly toMs: number;
  readonly format: Format;
  /** The chart in one sentence, for those who do not see it. */
  readonly said: string;
}

/** An axis without a line would look as if it had been drawn and were nought. */
export function Figure(props: FigureProps) {
  const { spec } = props;
  return (
    <figure class="figure" data-substance={spec.substance}>
      <figcaption>
        <b>{spec.title}</b> <span class="soft">{spec.unit}</span>
      </figcaption>
      {spec.curves.some(({ values }) => values.length > 0) ? <Chart {...props} /> : <p>{REPORT.nothing}</p>}
    </figure>
  );
}

function Chart({ spec, fromMs, toMs, format, said }: FigureProps) {
  const width = innerWidth < 760 ? NARROW_PX : WIDE_PX;
  const scale = scaleOf(spec);
  const x = (atMs: number): number => LEFT + ((width - LEFT) * (atMs - fromMs)) / (toMs - fromMs);
  const y = (value: number): number => toY(scale, HEIGHT, value);
  const ticks = rulerTicks({ fromMs, toMs }, width - LEFT, format);
  return (
    <svg viewBox={`0 ${-HEAD} ${width} ${HEAD + HEIGHT + FOOT}`} role="img" aria-label={said}>
      {scale.ticks.map(({ at, text }) => (
        <g key={text} class="tick">
          <line x1={LEFT} x2={width} y1={y(at)} y2={y(at)} />
          <text x={LEFT - LABEL_GAP} y={y(at) + 4} text-anchor="end">
            {text}
          </text>
        </g>
      ))}
      {ticks
        .filter(({ long }) => long)
        .map(({ atMs, text }) => (
          <text key={atMs} class="time" x={x(atMs)} y={HEIGHT + FOOT - 6} text-anchor="middle">
            {text}
          </text>
        ))}
      {spec.bands.map((band, i) => (
        <path key={`band ${i}`} class="band" d={bandPath(band, x, y)} />
      ))}
      {spec.levels.map(({ value, label }) => (
        <g key={label} class="level">
          <line x1={LEFT} x2={width} y1={y(value)} y2={y(value)} />
          <text x={width - LABEL_GAP} y={y(value) - LABEL_GAP} text-anchor="end">
            {label}
          </text>
        </g>
      ))}
      {spec.curves.map((curve, i) => (
        <path key={`curve ${i}`} class={curve.dashed ? 'curve dashed' : 'curve'} d={curvePath(curve, x, y)} />
      ))}
    </svg>
  );
}

/** Moisture's axis reaches one step of 1, 2, 5 beyond what is drawn. */
function scaleOf({ kind, leastSpan, curves, bands, levels }: FigureSpec): LaneScale {
  const values = [
    ...curves.flatMap((curve) => curve.values),
    ...bands.flatMap(({ low, high }) => [...low, ...high]),
    ...levels.map(({ value }) => value),
  ].filter(Number.isFinite);
  const low = Math.min(...values);
  const high = Math.max(...values);
  if (values.length === 0) return linearScale(null, leastSpan);
  if (kind === 'linear') return linearScale({ low, high }, leastSpan);
  const steps = logScale(1e-3, 100).ticks.map(({ at }) => at);
  return logScale(steps.findLast((at) => at <= low) ?? 1e-3, steps.find((at) => at >= high * 1.05) ?? 100);
}

type Place = (value: number) => number;
const point = (x: number, y: number): string => `${x.toFixed(1)} ${y.toFixed(1)}`;

function curvePath({ atMs, values, gapMs }: Curve, x: Place, y: Place): string {
  let path = '';
  for (let i = 0; i < atMs.length; i++) {
    const joined = i > 0 && (atMs[i] as number) - (atMs[i - 1] as number) <= gapMs;
    path += `${joined ? 'L' : 'M'}${point(x(atMs[i] as number), y(values[i] as number))}`;
  }
  return path;
}

function bandPath({ atMs, low, high }: Band, x: Place, y: Place): string {
  if (atMs.length < 2) return '';
  const edge = (values: readonly number[]): string[] =>
    atMs.map((ms, i) => point(x(ms), y(values[i] as number)));
  return `M${[...edge(high), ...edge(low).reverse()].join('L')}Z`;
}
