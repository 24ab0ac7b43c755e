/**
 * One lane of the plate: hatch and grid beneath, uPlot's lines and bands in the middle, words and marks on top. It is
 * given a plain description and shares nothing with its sister but the time axis.
 */
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { createLaneChart, type LaneChart } from './lane-chart.ts';
import { LaneMarks } from './lane-marks.tsx';
import type { LaneProps } from './lane-props.ts';
import { toY } from './scale.ts';

export function Lane(props: LaneProps) {
  const { spec, range, leftPx, topPx, widthPx, heightPx } = props;
  const host = useRef<HTMLDivElement>(null);
  const chart = useRef<LaneChart | null>(null);
  // With the marks, not after them: a word must not stand a frame ahead of its line, nor paper miss the line.
  useLayoutEffect(() => {
    if (!host.current) return;
    chart.current ??= createLaneChart(host.current);
    chart.current.draw({ spec, range, widthPx, heightPx, palette: props.palette });
  });
  useEffect(() => () => chart.current?.destroy(), []);
  const box = {
    left: `${leftPx}px`,
    top: `${topPx}px`,
    width: `${widthPx}px`,
    height: `${heightPx}px`,
  };
  const y = (value: number): number => toY(spec.scale, heightPx, value);
  return (
    <div class="lane" style={box} data-lane={spec.id}>
      <svg class="layer" width={widthPx} height={heightPx} aria-hidden="true">
        {spec.floor && (
          <rect
            x={0}
            y={y(spec.floor.value)}
            width={widthPx}
            height={heightPx - y(spec.floor.value)}
            fill="url(#hatch)"
          />
        )}
        {spec.ceiling && (
          <rect x={0} y={0} width={widthPx} height={y(spec.ceiling.value)} fill="url(#hatch)" />
        )}
        {spec.scale.ticks.map((tick) => (
          <line class="grid" x1={0} x2={widthPx} y1={y(tick.at)} y2={y(tick.at)} key={tick.at} />
        ))}
      </svg>
      <div class="chart" ref={host} />
      <LaneMarks {...props} />
    </div>
  );
}
