/** Two lanes and the ruler between them that both read off. */
import { PLATE } from '../words/bench.ts';
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
      />
      <Lane spec={lower} topPx={layout.lowerTopPx} heightPx={layout.lowerPx} {...common} />
      <ReadingTime layout={layout} {...props} />
      <Surface layout={layout} {...props} />
    </figure>
  );
}

/** Full diagonal: out of reach, or not allowed. Broken, the other way: nothing heard. */
function Hatches() {
  return (
    <svg class="defs" width="0" height="0" aria-hidden="true">
      <defs>
        <pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line class="hatch" x1="0" y1="0" x2="0" y2="7" />
        </pattern>
        <pattern
          id="broken"
          width="10"
          height="10"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(-45)"
        >
          <line class="hatch" x1="0" y1="0" x2="0" y2="10" stroke-dasharray="2 4" />
        </pattern>
      </defs>
    </svg>
  );
}
