/**
 * Runs in a browser: the plate's two lanes over a day of readings, drawn as the page draws them, beside bare uPlots
 * that are handed the very columns the lanes come to. Bundled by the measuring, which calls `createDrawing`.
 */
import uPlot from 'uplot';
import { airLane, type LaneFacts, vapourLane } from '../../../web/bench-lanes.ts';
import { alignColumns } from '../../../web/columns.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../../web/format.ts';
import { laneSeries } from '../../../web/lane-series.ts';
import { createLaneChart } from '../../../web/ruler/lane-chart.ts';
import type { LaneSpec } from '../../../web/ruler/lane-spec.ts';
import type { Palette } from '../../../web/ruler/palette.ts';
import { type Range, rangeOf } from '../../../web/ruler/view.ts';
import { createSeriesWindow } from '../../../web/series-window.ts';
import { castOf } from '../../../web/stations.ts';
import { BOX, MORNING, NOW_MS, RIG, ROOM } from '../invented-bench.ts';

const DAY_MS = 86_400_000;
/** The plate at 1280 px: lanes 1036 px wide, so 1100 buckets. */
const WIDTH_PX = 1036;
const HEIGHTS_PX = [216, 192] as const;
const BUCKETS = 1100;
const PALETTE: Palette = {
  line: { water: 'rgb(20, 90, 140)', heat: 'rgb(170, 70, 20)' },
  band: {
    water: ['rgba(20, 90, 140, 0.2)', 'rgba(20, 90, 140, 0.35)'],
    heat: ['rgba(170, 70, 20, 0.2)', 'rgba(170, 70, 20, 0.35)'],
  },
};

const host = (heightPx: number): HTMLElement => {
  const element = document.body.appendChild(document.createElement('div'));
  element.style.cssText = `width:${WIDTH_PX}px;height:${heightPx}px`;
  return element;
};

function dayOfReadings() {
  const stations = [BOX, RIG, ROOM];
  const cast = castOf(stations, { boxId: null, chamberId: null });
  const ids = laneSeries(cast);
  const series = createSeriesWindow();
  series.want(ids, DAY_MS / BUCKETS);
  const hear = (atMs: number): void => {
    series.takePoints(
      ids.flatMap((id) => {
        const value = MORNING(id.station, id.key, atMs);
        return value === null ? [] : [{ ...id, atMs, value }];
      }),
    );
  };
  // Four readings to a bucket, as history answers them: smallest and largest are apart.
  for (let atMs = NOW_MS - DAY_MS; atMs < NOW_MS; atMs += DAY_MS / BUCKETS / 4) hear(atMs);
  const lanes = (nowMs: number): readonly [LaneSpec, LaneSpec] => {
    const facts: LaneFacts = {
      stations,
      cast,
      series,
      range: rangeOf({ kind: 'following', spanMs: DAY_MS }, nowMs),
      clockMs: nowMs,
      nowMs,
      lostSinceMs: null,
      format: createFormat(DEFAULT_PREFERENCES),
      narrow: false,
    };
    return [vapourLane(facts), airLane(facts)];
  };
  return { hear, lanes };
}

function inkOf(canvas: HTMLCanvasElement): number {
  const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
  let inked = 0;
  for (let at = 3; at < data.length; at += 4) if (data[at]! > 120) inked++;
  return inked;
}

const columnsOf = (spec: LaneSpec): uPlot.AlignedData => {
  const { xS, ys } = alignColumns([...spec.bands.flatMap((band) => [band.high, band.low]), ...spec.lines]);
  return [xS, ...ys] as uPlot.AlignedData;
};

function bareChart(spec: LaneSpec, heightPx: number): uPlot {
  const colour = PALETTE.line[spec.substance];
  const edges = spec.bands.flatMap(() => [{ width: 0 }, { width: 0 }]);
  const lines = spec.lines.map(({ look }) => ({
    stroke: colour,
    width: look === 'dotted' ? 1.3 : 1.9,
    dash: look === 'dotted' ? [1.5, 3] : [],
  }));
  const series = [...edges, ...lines].map((each) => ({ ...each, points: { show: false } }));
  return new uPlot(
    {
      width: WIDTH_PX,
      height: heightPx,
      padding: [0, 0, 0, 0],
      pxAlign: 0,
      legend: { show: false },
      cursor: { show: false },
      axes: [{ show: false }, { show: false }],
      scales: { x: { time: false }, y: { range: [spec.scale.low, spec.scale.high] } },
      series: [{}, ...series],
      bands: spec.bands.map((_, index) => ({
        series: [1 + 2 * index, 2 + 2 * index],
        fill: PALETTE.band[spec.substance][0],
      })),
    },
    columnsOf(spec),
    host(heightPx),
  );
}

export interface Drawing {
  /** Hears so many new readings, ten a second, and keeps what each makes of the lanes. */
  prepare(draws: number): void;
  /** Draws them, one a frame: from lanes as the page has them, or from columns as uPlot wants them. Median ms of script. */
  ours(): Promise<number>;
  bare(): Promise<number>;
  /** Pixels with ink in both: a picture that is not the same would be no yardstick. */
  inked(): [ours: number, bare: number];
}

export function createDrawing(): Drawing {
  const { hear, lanes } = dayOfReadings();
  let nowMs = NOW_MS;
  const first = lanes(nowMs);
  const charts = HEIGHTS_PX.map((heightPx) => createLaneChart(host(heightPx)));
  const bare = first.map((spec, at) => bareChart(spec, HEIGHTS_PX[at]!));
  let kept: { range: Range; specs: readonly LaneSpec[]; columns: uPlot.AlignedData[] }[] = [];
  const eachFrame = async (draw: (one: (typeof kept)[number]) => void): Promise<number> => {
    const spentMs: number[] = [];
    for (const one of kept) {
      await new Promise(requestAnimationFrame);
      const startMs = performance.now();
      draw(one);
      spentMs.push(performance.now() - startMs);
    }
    return spentMs.sort((a, b) => a - b)[spentMs.length >> 1]!;
  };
  return {
    prepare(draws) {
      kept = Array.from({ length: draws }, () => {
        nowMs += 100;
        hear(nowMs);
        const specs = lanes(nowMs);
        return {
          range: rangeOf({ kind: 'following', spanMs: DAY_MS }, nowMs),
          specs,
          columns: specs.map(columnsOf),
        };
      });
    },
    ours: () =>
      eachFrame(({ range, specs }) => {
        specs.forEach((spec, at) => {
          charts[at]!.draw({ spec, range, widthPx: WIDTH_PX, heightPx: HEIGHTS_PX[at]!, palette: PALETTE });
        });
      }),
    bare: () =>
      eachFrame(({ range, columns }) => {
        bare.forEach((chart, at) => {
          chart.batch(() => {
            chart.setData(columns[at]!, false);
            chart.setScale('x', { min: range.fromMs / 1000, max: range.toMs / 1000 });
          });
        });
      }),
    inked() {
      // Hosts stand in the order they were made in: ours, then the bare ones.
      const inks = [...document.querySelectorAll('canvas')].map(inkOf);
      return [inks[0]! + inks[1]!, inks[2]! + inks[3]!];
    },
  };
}
