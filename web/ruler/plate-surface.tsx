import { useEffect, useRef } from 'preact/hooks';
import { PLATE } from '../words/bench.ts';
import { listenToHands } from './gestures.ts';
import { actOfKey, stepMs } from './plate-keys.ts';
import type { Laid } from './plate-props.ts';
import { sayPlate } from './readout.ts';

/** The part that hands and keys touch: a slider over the time that is being read. */
export function Surface(props: Laid) {
  const { layout, range, clockMs, cursorMs, format, on } = props;
  const surface = useRef<HTMLDivElement>(null);
  const lanes = [props.upper, props.lower];
  const forecast = lanes.some((lane) => lane.lines.some((line) => line.look === 'dashed'));
  const lastMs = forecast ? range.toMs : Math.min(range.toMs, clockMs);
  const at = Math.min(lastMs, Math.max(range.fromMs, cursorMs ?? clockMs));
  // The listeners live as long as the element; they look here for what holds now.
  const latest = useRef({ range, lastMs, on, layout });
  latest.current = { range, lastMs, on, layout };
  useEffect(() => {
    if (!surface.current) return;
    const timeAt = (share: number): number => {
      const { fromMs, toMs } = latest.current.range;
      return fromMs + share * (toMs - fromMs);
    };
    return listenToHands(surface.current, {
      onRuler(yPx) {
        const { upperPx, stripPx } = latest.current.layout;
        return yPx >= upperPx && yPx <= upperPx + stripPx;
      },
      read(share) {
        const { range: shown, lastMs: last } = latest.current;
        latest.current.on.read(share === null ? null : Math.min(last, Math.max(shown.fromMs, timeAt(share))));
      },
      pan: (share) => latest.current.on.pan(share),
      zoom: (factor, share) => latest.current.on.zoom(factor, timeAt(share)),
    });
  }, []);

  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const act = actOfKey(event.key, event.shiftKey);
    if (act === null) return;
    event.preventDefault();
    if (act.act === 'pan') on.pan(act.share);
    else if (act.act === 'zoom') on.zoomStep(act.direction);
    else if (act.act === 'follow') on.follow();
    else if (act.act === 'read')
      on.read(act.to === 'now' ? null : act.to === 'first' ? range.fromMs : lastMs);
    else {
      const next = Math.min(lastMs, at + act.steps * stepMs(range.toMs - range.fromMs));
      // Walking out of the picture takes the picture along.
      if (next < range.fromMs) on.pan(-0.25);
      on.read(next);
    }
  };
  return (
    <div
      class="surface"
      ref={surface}
      role="slider"
      tabIndex={0}
      aria-label={PLATE.slider}
      aria-valuemin={0}
      aria-valuemax={Math.round((lastMs - range.fromMs) / 60_000)}
      aria-valuenow={Math.round((at - range.fromMs) / 60_000)}
      aria-valuetext={sayPlate(lanes, at, clockMs, format)}
      onKeyDown={onKeyDown}
      onBlur={() => on.read(null)}
      style={{
        left: `${layout.leftPx}px`,
        top: `${layout.upperTopPx}px`,
        width: `${layout.widthPx}px`,
        height: `${layout.bottomPx - layout.upperTopPx}px`,
      }}
    />
  );
}
