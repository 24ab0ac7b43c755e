/** The section with its table, beside the plate where there is room, else beneath it. */
import { useSignal } from '@preact/signals';
import { useLayoutEffect, useRef } from 'preact/hooks';
import type { BenchState } from '../bench-state.ts';
import type { LaneScale } from '../ruler/scale.ts';
import { Fold, later } from '../shell/later.tsx';
import { WINDING } from '../words/spool.ts';
import { SpoolSection } from './spool-section.tsx';

const WindingTable = later(async () => (await import('../bench-later.ts')).WindingTable);

/** As in style/spool.css. */
const BESIDE_QUERY = '(min-width: 1021px), print';

export function SpoolBeside(props: { state: BenchState; scale: LaneScale; nowMs: number }) {
  const { state, scale, nowMs } = props;
  const spool = state.spool.value;
  const outer = useRef<HTMLDivElement>(null);
  const widthPx = useSignal(0);
  const stacked = useSignal(false);
  const shown = spool !== null;
  useLayoutEffect(() => {
    const element = outer.current;
    if (!element || !shown) return;
    const measure = (): void => {
      widthPx.value = element.clientWidth;
      stacked.value = !matchMedia(BESIDE_QUERY).matches;
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [shown, widthPx, stacked]);
  if (!spool?.drying) return null;
  const station = state.bench.value?.stations.find((one) => one.id === spool.station);
  const lostMs = state.lostSinceMs.value;
  const unknownSinceMs = station?.quiet ? (station.heardMs ?? nowMs) : lostMs;
  return (
    <div class="spool" ref={outer}>
      {widthPx.value > 0 && (
        <SpoolSection
          spool={{ ...spool, drying: spool.drying }}
          unknownSinceMs={unknownSinceMs}
          nowMs={nowMs}
          scale={scale}
          widthPx={widthPx.value}
          stacked={stacked.value}
          format={state.format.value}
        />
      )}
      {unknownSinceMs === null && (
        <Fold summary={WINDING.table} tab>
          <WindingTable spool={spool} />
        </Fold>
      )}
    </div>
  );
}
