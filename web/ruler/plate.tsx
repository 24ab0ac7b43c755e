/** Two lanes and the ruler between them that both read off. */
import { PLATE } from '../words/bench.ts';
import { Hatches } from './hatches.tsx';
import { busyPx, JobWindow } from './job-window.tsx';
import { Lane } from './lane.tsx';
import { layoutPlate } from './plate-layout.ts';
import type { PlateProps } from './plate-props.ts';
import { Surface } from './plate-surface.tsx';
import { Now, ReadingTime } from './plate-uprights.tsx';
import { TimeStrip } from './time-strip.tsx';

export function Plate(props: PlateProps) {
  const { upper, lower, range, clockMs, nowMs, palette, format } = props;
  const layout = layoutPlate(props.outerWidthPx);
  const common = {
    range,
    nowMs,
    palette,
    leftPx: layout.leftPx,
    widthPx: layout.widthPx,
    narrow: layout.narrow,
  };
  const clock = (atMs: number): string => format.when(atMs, clockMs);
  const summary = PLATE.summary(
    [upper.title, lower.title],
    clock(range.fromMs),
    clock(range.toMs),
    format.clock(clockMs),
  );
  return (
    <figure class="fig" aria-label={summary} style={{ height: `${layout.heightPx}px` }}>
      <Hatches />
      <Now layout={layout} {...props} />
      <Lane spec={upper} topPx={layout.upperTopPx} heightPx={layout.upperPx} {...common} />
      <TimeStrip
        range={range}
        clockMs={clockMs}
        nowMs={nowMs}
        topPx={layout.stripTopPx}
        leftPx={layout.leftPx}
        widthPx={layout.widthPx}
        heightPx={layout.stripPx}
        format={format}
        busy={busyPx({ layout, ...props })}
        nowLifted={props.window !== undefined}
      />
      {(props.window || props.start) && <JobWindow layout={layout} {...props} />}
      <Lane spec={lower} topPx={layout.lowerTopPx} heightPx={layout.lowerPx} {...common} />
      <ReadingTime layout={layout} {...props} />
      <Surface layout={layout} {...props} />
    </figure>
  );
}
