/** All that the page shows and that changes, as signals; components read these and nothing else. */
import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { SpoolState } from '../server/api/messages.ts';
import type { ChamberState } from '../server/api/messages-chamber.ts';
import type { JobState } from '../server/api/messages-jobs.ts';
import type { Bench } from './bench-model.ts';
import { createFormat, DEFAULT_PREFERENCES, type Format, type Preferences } from './format.ts';
import { AHEAD_SHARE, FIRST_VIEW, FORECAST_SHARE, type View } from './ruler/view.ts';
import { createSeriesWindow, type SeriesWindow } from './series-window.ts';
import type { StartAsked } from './start-answer.ts';
import { type Cast, type Chosen, castOf, jobOf, spoolOf } from './stations.ts';

/** `asking`: no word yet; `unanswered`: none, and a try has failed; `lost`: there was word, now there is none. */
export type Connection = 'asking' | 'unanswered' | 'live' | 'lost';

export interface BenchState {
  readonly connection: Signal<Connection>;
  readonly bench: Signal<Bench | null>;
  /** Bench time, as it ticks on the page: once a second. */
  readonly nowMs: Signal<number>;
  /** Bench time of the last message, while there is no connection. */
  readonly lostSinceMs: Signal<number | null>;
  readonly historyMissing: Signal<boolean>;
  /** Grows when a series has changed, at most once a frame. */
  readonly drawn: Signal<number>;
  readonly view: Signal<View>;
  readonly cursorMs: Signal<number | null>;
  readonly plateWidthPx: Signal<number>;
  readonly chosen: Signal<Chosen>;
  readonly preferences: Signal<Preferences>;
  readonly format: ReadonlySignal<Format>;
  readonly cast: ReadonlySignal<Cast>;
  /** The spool that the answer and the plate are about; null where there is none, or nothing is known of it. */
  readonly spool: ReadonlySignal<SpoolState | null>;
  /** What is known of the chamber on the plate; null where there is none, or it was never heard. */
  readonly chamber: ReadonlySignal<ChamberState | null>;
  /** The job that runs, or is paused, with the spool or in the chamber on the plate. */
  readonly job: ReadonlySignal<JobState | null>;
  /** A start that is asked about, for the answer to say. */
  readonly asked: Signal<StartAsked | null>;
  /** Part of the plate's span that lies ahead of *now*. */
  readonly aheadShare: ReadonlySignal<number>;
  readonly plateSeries: SeriesWindow;
  readonly sparkSeries: SeriesWindow;
}

export function createBenchState(): BenchState {
  const bench = signal<Bench | null>(null);
  const chosen = signal<Chosen>({ boxId: null, chamberId: null });
  const preferences = signal(DEFAULT_PREFERENCES);
  const cast = computed(() => castOf(bench.value?.stations ?? [], chosen.value, bench.value?.spools ?? []));
  const spool = computed(() => {
    const found = spoolOf(bench.value?.spools ?? [], cast.value, chosen.value);
    return found?.drying ? found : null;
  });
  const chamber = computed(
    () => bench.value?.chambers.find((one) => one.station === cast.value.chamber?.id) ?? null,
  );
  const job = computed(() => jobOf(bench.value?.jobs ?? [], cast.value, spool.value));
  return {
    connection: signal<Connection>('asking'),
    bench,
    nowMs: signal(0),
    lostSinceMs: signal<number | null>(null),
    historyMissing: signal(false),
    drawn: signal(0),
    view: signal<View>(FIRST_VIEW),
    cursorMs: signal<number | null>(null),
    plateWidthPx: signal(0),
    chosen,
    preferences,
    format: computed(() => createFormat(preferences.value)),
    cast,
    spool,
    chamber,
    asked: signal<StartAsked | null>(null),
    job,
    // Not by what can be forecast just now: a place that falls quiet must not move the plate.
    aheadShare: computed(() =>
      spool.value || chamber.value?.heatOnMs != null ? FORECAST_SHARE : AHEAD_SHARE,
    ),
    plateSeries: createSeriesWindow(),
    sparkSeries: createSeriesWindow(),
  };
}
