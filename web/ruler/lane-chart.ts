/** One uPlot behind one lane: it draws lines, bands and gaps, and nothing else. Words and marks lie over it as SVG. */
import uPlot from 'uplot';
import { alignColumns, type Columns } from '../columns.ts';
import type { LaneLine, LaneSpec } from './lane-spec.ts';
import type { Palette } from './palette.ts';
import type { Range } from './view.ts';

const DASHES: Record<LaneLine['look'], number[]> = { solid: [], dashed: [5, 4], dotted: [1.5, 3] };
const WIDTHS: Record<LaneLine['look'], number> = { solid: 1.9, dashed: 1.9, dotted: 1.3 };
/** Across, in px, of the dot for a reading with silence on both sides. */
const LONE_DOT_PX = 4;

export interface LaneFrame {
  readonly spec: LaneSpec;
  readonly range: Range;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly palette: Palette;
}

export interface LaneChart {
  draw(frame: LaneFrame): void;
  destroy(): void;
}

export function createLaneChart(host: HTMLElement): LaneChart {
  let plot: uPlot | null = null;
  let shapeNow = '';
  let paletteNow: Palette | null = null;
  let columns: Columns = { xS: [], ys: [], lone: [] };

  return {
    draw(frame) {
      const { spec, range, widthPx, heightPx } = frame;
      if (widthPx <= 0 || heightPx <= 0) return;
      columns = alignColumns([...spec.bands.flatMap((band) => [band.high, band.low]), ...spec.lines]);
      const shape = shapeOf(spec);
      if (plot === null || shape !== shapeNow || frame.palette !== paletteNow) {
        plot?.destroy();
        plot = new uPlot(
          optionsOf(frame, () => columns.lone),
          dataOf(columns),
          host,
        );
        shapeNow = shape;
        paletteNow = frame.palette;
      }
      const chart = plot;
      if (chart.width !== widthPx || chart.height !== heightPx)
        chart.setSize({ width: widthPx, height: heightPx });
      chart.batch(() => {
        chart.setData(dataOf(columns), false);
        chart.setScale('x', { min: range.fromMs / 1000, max: range.toMs / 1000 });
        chart.setScale('y', { min: spec.scale.low, max: spec.scale.high });
      });
    },
    destroy() {
      plot?.destroy();
      plot = null;
    },
  };
}

/** uPlot is made anew only when what it was made for has changed, not at each reading. */
const shapeOf = (spec: LaneSpec): string =>
  [
    spec.substance,
    spec.scale.kind,
    ...spec.bands.map((band) => band.tint),
    ...spec.lines.map((l) => l.look),
  ].join();

const dataOf = (columns: Columns): uPlot.AlignedData => [columns.xS, ...columns.ys] as uPlot.AlignedData;

function optionsOf(frame: LaneFrame, loneRows: () => number[][]): uPlot.Options {
  const { spec, palette, range, widthPx, heightPx } = frame;
  const edge: uPlot.Series = { width: 0, points: { show: false } };
  const colour = palette.line[spec.substance];
  const line = (own: LaneLine): uPlot.Series => ({
    stroke: colour,
    width: WIDTHS[own.look],
    dash: DASHES[own.look],
    points: {
      show: true,
      size: LONE_DOT_PX,
      width: 0,
      fill: colour,
      filter: (_, index) => loneRows()[index - 1] ?? [],
    },
  });
  return {
    width: widthPx,
    height: heightPx,
    padding: [0, 0, 0, 0],
    // Whole pixels would make a slow slope climb in stairs.
    pxAlign: 0,
    legend: { show: false },
    cursor: { show: false },
    select: { show: false, left: 0, top: 0, width: 0, height: 0 },
    axes: [{ show: false }, { show: false }],
    scales: {
      x: { time: false, auto: false, min: range.fromMs / 1000, max: range.toMs / 1000 },
      y: {
        auto: false,
        distr: spec.scale.kind === 'log' ? 3 : 1,
        range: (_, low, high) => [low, high],
        min: spec.scale.low,
        max: spec.scale.high,
      },
    },
    series: [{}, ...spec.bands.flatMap(() => [edge, { ...edge }]), ...spec.lines.map(line)],
    bands: spec.bands.map((band, index) => ({
      series: [1 + 2 * index, 2 + 2 * index],
      fill: palette.band[spec.substance][band.tint - 1] ?? colour,
    })),
  };
}
