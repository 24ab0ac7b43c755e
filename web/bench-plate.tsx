/** The plate of the Bench: lanes made from the state, and what hands and buttons do to the view. */
import { useComputed, useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { airLane, type LaneFacts, vapourLane } from './bench-lanes.ts';
import type { BenchState } from './bench-state.ts';
import { chamberLane } from './chamber-lane.ts';
import { age } from './format.ts';
import { happeningsAt } from './happenings.ts';
import { rulerMarks } from './job-marks.ts';
import { lowerStation, upperStation } from './lane-series.ts';
import { moistureLane } from './moisture-lane.ts';
import { onPaletteChange, readPalette } from './ruler/palette.ts';
import { Plate } from './ruler/plate.tsx';
import { layoutPlate } from './ruler/plate-layout.ts';
import type { PlateHandlers } from './ruler/plate-props.ts';
import { sayPlate } from './ruler/readout.ts';
import {
  panBy,
  rangeOf,
  SPANS_MS,
  showSpan,
  spanOf,
  stepNow,
  type View,
  zoomAt,
  zoomStep,
} from './ruler/view.ts';
import { Fold, later } from './shell/later.tsx';
import { SpoolBeside } from './spool/spool-beside.tsx';
import { HISTORY, PLATE } from './words/bench.ts';

const PlateTable = later(async () => (await import('./bench-later.ts')).PlateTable);

/** A4 landscape between its margins (style/print.css): 273 mm at 96 px an inch. */
const PAPER_WIDTH_PX = 1032;
/** Width of the section beside the plate (style/spool.css). */
const SECTION_PX = 344;

export function BenchPlate({ state, entry }: { state: BenchState; entry: ComponentChildren }) {
  const outer = useRef<HTMLDivElement>(null);
  const palette = useSignal(readPalette());
  useLayoutEffect(() => {
    const element = outer.current;
    if (!element) return;
    const measure = (): void => {
      state.plateWidthPx.value = element.clientWidth;
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [state]);
  useEffect(
    () =>
      onPaletteChange(() => {
        palette.value = readPalette();
      }),
    [palette],
  );
  useEffect(() => {
    // Paper is light and of one width, and a canvas does not know that by itself.
    const { dataset } = document.documentElement;
    const before = (): void => {
      dataset['theme'] = 'light';
      palette.value = readPalette();
      state.plateWidthPx.value = PAPER_WIDTH_PX - (state.spool.value ? SECTION_PX : 0);
    };
    const after = (): void => {
      delete dataset['theme'];
      palette.value = readPalette();
      state.plateWidthPx.value = outer.current?.clientWidth ?? 0;
    };
    addEventListener('beforeprint', before);
    addEventListener('afterprint', after);
    return () => {
      removeEventListener('beforeprint', before);
      removeEventListener('afterprint', after);
    };
  }, [palette, state]);
  const scene = useComputed(() => {
    // Read so that the lanes are made again when a series has grown.
    void state.drawn.value;
    const layout = layoutPlate(state.plateWidthPx.value);
    // A fast bench runs ahead of the page's tick of a second; no reading lies right of now.
    const clockMs = Math.max(state.nowMs.value, state.bench.value?.atMs ?? 0);
    const nowMs = stepNow(clockMs, spanOf(state.view.value), layout.widthPx);
    const range = rangeOf(state.view.value, nowMs, state.aheadShare.value);
    const facts: LaneFacts = {
      stations: state.bench.value?.stations ?? [],
      cast: state.cast.value,
      series: state.plateSeries,
      range,
      clockMs,
      nowMs,
      lostSinceMs: state.lostSinceMs.value,
      format: state.format.value,
      narrow: layout.narrow,
    };
    const spool = state.spool.value;
    const alerts = state.bench.value?.alerts ?? [];
    const first = spool?.drying ? moistureLane(facts, { ...spool, drying: spool.drying }) : vapourLane(facts);
    const firstAt = spool?.drying ? spool.station : (upperStation(facts.cast)?.id ?? null);
    const upper = { ...first, happenings: happeningsAt(facts, firstAt, alerts) };
    const chamber = state.chamber.value;
    const job = state.job.value;
    const second = chamber ? chamberLane(facts, chamber, job) : airLane(facts);
    const secondAt = lowerStation(facts.cast)?.id ?? null;
    const lower =
      secondAt === firstAt
        ? second
        : { ...second, happenings: happeningsAt(facts, secondAt, alerts, second.events) };
    return { clockMs, nowMs, range, upper, lower, ...rulerMarks(facts, job, state.asked.value) };
  }).value;
  const cursorMs = state.cursorMs.value;
  const format = state.format.value;
  const lanes = [scene.upper, scene.lower];
  const ahead = state.aheadShare.value;

  const look = (next: (view: View, nowMs: number) => View): void => {
    state.view.value = next(state.view.value, scene.nowMs);
  };
  const on: PlateHandlers = {
    read(atMs) {
      state.cursorMs.value = atMs;
    },
    pan: (share) => look((view, nowMs) => panBy(view, share, nowMs, ahead)),
    zoom: (factor, aboutMs) => look((view, nowMs) => zoomAt(view, factor, aboutMs, nowMs, ahead)),
    zoomStep: (direction) => look((view, nowMs) => zoomStep(view, direction, nowMs, ahead)),
    follow: () => look((view) => ({ kind: 'following', spanMs: spanOf(view) })),
  };
  return (
    <section class={state.spool.value ? 'plate with-spool' : 'plate'} aria-label={PLATE.label}>
      <div ref={outer}>
        {state.plateWidthPx.value > 0 && (
          <Plate
            {...scene}
            cursorMs={cursorMs}
            outerWidthPx={state.plateWidthPx.value}
            palette={palette.value}
            format={format}
            on={on}
          />
        )}
        <div class="under">
          <Spans
            state={state}
            on={on}
            show={(spanMs) => look((view, nowMs) => showSpan(view, spanMs, nowMs, ahead))}
          />
          <p class="reads soft">
            {cursorMs === null ? <Hint /> : sayPlate(lanes, cursorMs, scene.clockMs, format)}
          </p>
          {state.historyMissing.value && <p class="reads">{HISTORY.fetchTrouble}</p>}
        </div>
        {entry}
        <Fold summary={PLATE.table} tab>
          <PlateTable lanes={lanes} range={scene.range} nowMs={scene.clockMs} format={format} />
        </Fold>
      </div>
      <SpoolBeside state={state} scale={scene.upper.scale} nowMs={scene.clockMs} />
    </section>
  );
}

/** One of the two is shown, as the style sheet finds a pointer that can hover or none. */
function Hint() {
  return (
    <>
      <span class="for-pointer">{PLATE.hintPoint}</span>
      <span class="for-touch">{PLATE.hintTouch}</span>
    </>
  );
}

function Spans(props: { state: BenchState; on: PlateHandlers; show(spanMs: number): void }) {
  const { state, on, show } = props;
  const view = state.view.value;
  const spanMs = spanOf(view);
  return (
    <fieldset class="spans">
      <legend class="vh">{PLATE.spans}</legend>
      {SPANS_MS.map((each) => (
        <button
          type="button"
          aria-pressed={Math.abs(each - spanMs) < 1000}
          onClick={() => show(each)}
          key={each}
        >
          {age(each)}
        </button>
      ))}
      <span class="apart" />
      <button type="button" onClick={() => on.pan(-0.5)}>
        {PLATE.earlier}
      </button>
      <button type="button" disabled={view.kind === 'following'} onClick={() => on.pan(0.5)}>
        {PLATE.later}
      </button>
      <button type="button" disabled={view.kind === 'following'} onClick={() => on.follow()}>
        {PLATE.toNow}
      </button>
    </fieldset>
  );
}
