/** The lanes of one attempt, on its own time: 0 h is its start. Two attempts beside each other share every scale. */
import type { JobState } from '../../server/api/messages-jobs.ts';
import { type Format, fixed } from '../format.ts';
import { linearScale, toY } from '../ruler/scale.ts';
import { ATTEMPTS } from '../words/jobs.ts';
import { type Column, endOf, type JobSeries } from './job-history.ts';
import { useWidth } from './measured-width.ts';

const LANE_PX = 76;
const AXIS_PX = 22;
const HOUR_MS = 3_600_000;
const LEAST = { chamber: 6, humidity: 4, fed: 0.1 } as const;
/** Lanes keep this much clear for the figures at their left. */
const LEFT = 34;

export interface LaneScales {
  readonly lengthMs: number;
  readonly chamber: ReturnType<typeof linearScale>;
  readonly humidity: ReturnType<typeof linearScale>;
  readonly fed: ReturnType<typeof linearScale>;
}

/** Room for all of them. */
export function scalesOf(
  jobs: readonly JobState[],
  all: readonly (JobSeries | null)[],
  format: Format,
): LaneScales {
  const known = all.filter((one) => one !== null);
  const reach = (columns: readonly (Column | null | undefined)[], extra: readonly (number | null)[]) => {
    const lows = columns.flatMap((column) => (column ? [Math.min(...column.min)] : []));
    const highs = columns.flatMap((column) => (column ? [Math.max(...column.max)] : []));
    const more = extra.filter((value) => value !== null);
    if (lows.length + more.length === 0) return null;
    return { low: Math.min(...lows, ...more), high: Math.max(...highs, ...more) };
  };
  const chamber = reach(
    known.map((one) => one.chamber),
    jobs.flatMap(({ referenceC, bandC }) =>
      referenceC === null ? [] : [referenceC - bandC, referenceC + bandC],
    ),
  );
  return {
    lengthMs: Math.max(HOUR_MS / 6, ...jobs.map((job) => endOf(job) - job.startedMs)),
    chamber: linearScale(
      chamber && { low: format.shownTemperature(chamber.low), high: format.shownTemperature(chamber.high) },
      LEAST.chamber,
    ),
    humidity: linearScale(
      reach(
        known.map((one) => one.humidity),
        [],
      ),
      LEAST.humidity,
    ),
    fed: linearScale(
      reach(
        known.flatMap((one) => [one.fed?.p05, one.fed?.p95]),
        jobs.map(({ limitWtPercent }) => limitWtPercent),
      ),
      LEAST.fed,
      0,
    ),
  };
}

interface LanesProps {
  readonly job: JobState;
  readonly series: JobSeries | null;
  readonly scales: LaneScales;
  readonly format: Format;
}

export function JobLanes({ job, series, scales, format }: LanesProps) {
  const [host, width] = useWidth();
  const widthPx = Math.max(LEFT + 40, width.value);
  const common = { job, scales, widthPx, bucketMs: series?.bucketMs ?? null };
  const { referenceC, bandC } = job;
  const shown = format.shownTemperature;
  return (
    <div class="job-lanes" ref={host}>
      {job.chamber !== null && (
        <Lane
          {...common}
          title={ATTEMPTS.lanes.chamber}
          unit={format.temperatureUnit}
          scale={scales.chamber}
          column={series?.chamber ?? null}
          shown={shown}
          tone="h"
          out={['chamber-off', 'door']}
          rails={referenceC === null ? [] : [shown(referenceC - bandC), shown(referenceC + bandC)]}
        />
      )}
      <Lane
        {...common}
        title={ATTEMPTS.lanes.box}
        unit="%RH"
        scale={scales.humidity}
        column={series?.humidity ?? null}
        tone="w"
        out={['feed-air', 'quiet']}
      />
      <Lane
        {...common}
        title={ATTEMPTS.lanes.fed}
        unit="wt %"
        scale={scales.fed}
        column={series?.fed?.p50 ?? null}
        band={series?.fed ?? null}
        tone="w"
        out={['turn-too-wet']}
        limit={job.limitWtPercent}
      />
      <HourAxis lengthMs={scales.lengthMs} widthPx={widthPx} />
    </div>
  );
}

function Lane(props: {
  readonly job: JobState;
  readonly scales: LaneScales;
  /** Null: the history has not come yet. */
  readonly bucketMs: number | null;
  readonly widthPx: number;
  readonly title: string;
  readonly unit: string;
  readonly scale: LaneScales['chamber'];
  readonly column: Column | null;
  readonly band?: { readonly p05: Column; readonly p95: Column } | null;
  readonly tone: 'h' | 'w';
  readonly shown?: (value: number) => number;
  readonly out: readonly string[];
  readonly rails?: readonly number[];
  readonly limit?: number;
}) {
  const { job, scales, widthPx, title, unit, scale, column, band, tone, out } = props;
  const bucketMs = props.bucketMs ?? 1000;
  const shown = props.shown ?? ((value: number) => value);
  const decimals = unit === 'wt %' ? 2 : 1;
  const x = (atMs: number): number => LEFT + ((widthPx - LEFT) * (atMs - job.startedMs)) / scales.lengthMs;
  const y = (value: number): number => toY(scale, LANE_PX, value);
  const words = column
    ? ATTEMPTS.lane(
        title,
        fixed(shown(Math.min(...column.min)), decimals),
        fixed(shown(Math.max(...column.max)), decimals),
        unit,
      )
    : props.bucketMs === null
      ? title
      : `${title}: ${ATTEMPTS.laneNone}`;
  const edges = band
    ? ([band.p05.mean, band.p95.mean] as const)
    : column
      ? ([column.min, column.max] as const)
      : null;
  const ticks = scale.ticks.filter((_, i, all) => all.length < 5 || i % 2 === 0);
  return (
    <figure>
      <figcaption>{words}</figcaption>
      <svg width={widthPx} height={LANE_PX} role="img" aria-label={words}>
        {ticks.map((tick) => (
          <g key={tick.at}>
            <line class="grid" x1={LEFT} x2={widthPx} y1={y(tick.at)} y2={y(tick.at)} />
            <text x={LEFT - 5} y={Math.min(LANE_PX - 1, Math.max(10, y(tick.at) + 4))} text-anchor="end">
              {tick.text}
            </text>
          </g>
        ))}
        {column && edges && (
          <path class={`${tone}band`} d={bandPath(column.atMs, edges, bucketMs, x, (v) => y(shown(v)))} />
        )}
        {(props.rails ?? []).map((value) => (
          <line class="rail" x1={LEFT} x2={widthPx} y1={y(value)} y2={y(value)} key={value} />
        ))}
        {props.limit !== undefined && (
          <line class="lim" x1={LEFT} x2={widthPx} y1={y(props.limit)} y2={y(props.limit)} />
        )}
        {column && (
          <path class={`${tone}l`} d={linePath(column.atMs, column.mean, bucketMs, x, (v) => y(shown(v)))} />
        )}
        {job.excursions
          .filter(({ kind }) => out.includes(kind))
          .map((one) => {
            const [from, to] = [x(one.fromMs), x(one.toMs ?? endOf(job))];
            return (
              <path
                class="out"
                d={`M${from} ${LANE_PX - 2}H${Math.max(from + 3, to)}`}
                key={`${one.kind}${one.fromMs}`}
              />
            );
          })}
      </svg>
    </figure>
  );
}

/** A bucket more than three away was preceded by silence. */
const gapAfter = (atMs: readonly number[], i: number, bucketMs: number): boolean =>
  i > 0 && atMs[i]! - atMs[i - 1]! > Math.max(3 * bucketMs, 180_000);

type Place = (value: number) => number;

export function linePath(
  atMs: readonly number[],
  values: readonly number[],
  bucketMs: number,
  x: Place,
  y: Place,
): string {
  return atMs
    .map((at, i) => {
      const verb = i === 0 || gapAfter(atMs, i, bucketMs) ? 'M' : 'L';
      return `${verb}${x(at).toFixed(1)} ${y(values[i]!).toFixed(1)}`;
    })
    .join('');
}

function bandPath(
  atMs: readonly number[],
  [low, high]: readonly [readonly number[], readonly number[]],
  bucketMs: number,
  x: Place,
  y: Place,
): string {
  let path = '';
  let from = 0;
  for (let i = 1; i <= atMs.length; i++) {
    if (i < atMs.length && !gapAfter(atMs, i, bucketMs)) continue;
    const there = atMs.slice(from, i);
    path += linePath(there, high.slice(from, i), Number.POSITIVE_INFINITY, x, y);
    path += linePath(
      [...there].reverse(),
      low.slice(from, i).reverse(),
      Number.POSITIVE_INFINITY,
      x,
      y,
    ).replace('M', 'L');
    path += 'Z';
    from = i;
  }
  return path;
}

function HourAxis({ lengthMs, widthPx }: { lengthMs: number; widthPx: number }) {
  const hours = lengthMs / HOUR_MS;
  const step = [0.25, 0.5, 1, 2, 4, 6, 12, 24, 48].find((one) => hours / one <= 6) ?? 48;
  const marks = Array.from({ length: Math.floor(hours / step + 1e-9) + 1 }, (_, i) => i * step);
  return (
    <svg width={widthPx} height={AXIS_PX} role="img" aria-label={ATTEMPTS.own}>
      <rect class="well" x={LEFT} y={0} width={widthPx - LEFT} height={AXIS_PX} />
      {marks.map((h) => {
        const at = LEFT + ((widthPx - LEFT) * h) / hours;
        return (
          <g key={h}>
            <path class="tick" d={`M${at} 0v5`} />
            <text x={Math.min(widthPx - 14, Math.max(LEFT + 10, at))} y={16} text-anchor="middle">
              {ATTEMPTS.hour(h, hours < 1)}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
