/** The Spools screen: one line a spool, its last two weeks as a strip, and its diary behind its name. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Drying, SpoolState } from '../../server/api/messages.ts';
import type { BenchState } from '../bench-state.ts';
import { browserWorld } from '../browser-world.ts';
import type { ScreenProps } from '../shell/screen-props.ts';
import { useTitle } from '../shell/title.ts';
import { quietLine, spoolLine } from '../spool-answer.ts';
import { countedOnG, grams, leftG, likelyG } from '../usable.ts';
import { SCREEN_NAMES } from '../words/shell.ts';
import { SPOOLS } from '../words/spools.ts';
import { AddSpool, RemoveSpool } from './add-spool.tsx';
import { type BandPoint, FIT_MS, fetchLife } from './life.ts';
import { LifeStrip, stripDays } from './life-strip.tsx';
import { SpoolDiary } from './spool-diary.tsx';

export function SpoolsScreen({ state, post, route }: ScreenProps) {
  const spools = state.bench.value?.spools ?? [];
  const usable = spools.filter((spool) => isHeard(state, spool) && countedOnG(spool) > 0).length;
  const heading = state.bench.value ? SPOOLS.heading(usable, spools.length) : SCREEN_NAMES.spools;
  useTitle(state, SCREEN_NAMES.spools, heading);
  const opened = new URLSearchParams(route.place.value.query).get('open');
  // The form under an open spool enters for the one that is looked at; the Bench then shows the same.
  useEffect(() => {
    const spool = spools.find(({ id }) => id === opened);
    if (spool) state.chosen.value = { ...state.chosen.value, boxId: spool.station, spoolId: spool.id };
  }, [opened, spools.length, state]);
  return (
    <>
      <div class="answer">
        <h1>{heading}</h1>
        {state.bench.value && <p class="tell">{spools.length === 0 ? SPOOLS.tellNone : SPOOLS.tell}</p>}
      </div>
      <ul class="spools">
        {spools.map((spool) => (
          <li key={spool.id}>
            <Row
              state={state}
              spool={spool}
              open={spool.id === opened}
              toggle={() => route.refine(spool.id === opened ? '' : `open=${encodeURIComponent(spool.id)}`)}
            />
            {spool.id === opened && state.spool.value?.id === spool.id && (
              <div id={`diary-${spool.id}`}>
                <SpoolDiary state={state} post={post} spool={spool} />
                {state.bench.value?.simulated == null && <RemoveSpool id={spool.id} />}
              </div>
            )}
          </li>
        ))}
      </ul>
      {state.bench.value?.simulated == null && <AddSpool state={state} />}
    </>
  );
}

const stationOf = (state: BenchState, spool: SpoolState) =>
  state.bench.value?.stations.find(({ id }) => id === spool.station) ?? null;
const isHeard = (state: BenchState, spool: SpoolState): boolean =>
  stationOf(state, spool)?.quiet === false && state.lostSinceMs.value === null;

function Row(props: { state: BenchState; spool: SpoolState; open: boolean; toggle(): void }) {
  const { state, spool, open } = props;
  const points = useSignal<readonly BandPoint[]>([]);
  const { id, station } = spool;
  const nowMs = state.nowMs.value;
  const fits = Math.floor(nowMs / FIT_MS);
  useEffect(() => {
    if (fits === 0) return;
    const own = new AbortController();
    fetchLife(browserWorld().fetchJson, { id, station }, (fits + 1) * FIT_MS, own.signal).then(
      (life) => {
        points.value = life;
      },
      // An older strip is better than none; it is asked for again at the next fit.
      () => {},
    );
    return () => own.abort();
  }, [id, station, fits, points]);
  const heard = isHeard(state, spool);
  const heardMs = stationOf(state, spool)?.heardMs ?? null;
  const now = heard && spool.drying?.state !== 'unknown' ? spool.drying?.moistureWtPercent : undefined;
  const life = now
    ? [...points.value, { atMs: nowMs, low: now.p05, middle: now.p50, high: now.p95 }]
    : points.value;
  const inside = spool.drying?.state !== 'idle';
  return (
    <div class="spool-row">
      <div>
        <h2>
          <button type="button" aria-expanded={open} aria-controls={`diary-${id}`} onClick={props.toggle}>
            {id}
          </button>
        </h2>
        <p class="soft">
          {spool.materialName}, {inside ? SPOOLS.where(station) : SPOOLS.out}
        </p>
      </div>
      <div>
        <LifeStrip points={life} limitWtPercent={spool.limitWtPercent} nowMs={nowMs} />
        <p class="soft span">{SPOOLS.stripSpan(stripDays(life, nowMs))}</p>
      </div>
      <p>
        {!heard
          ? quietLine(heardMs === null ? null : Math.max(0, nowMs - heardMs))
          : spool.drying
            ? nowText(state, spool, spool.drying)
            : SPOOLS.noEstimate}
      </p>
      <p>
        {heard && spool.drying && <b>{gramsText(spool)}</b>}
        <span class="soft">{SPOOLS.left(grams(leftG(spool)), grams(spool.netMassG))}</span>
      </p>
    </div>
  );
}

/** The line of the list of boxes, without the name that stands at the row's head. */
const nowText = (state: BenchState, spool: SpoolState, drying: Drying): string =>
  spoolLine({
    spool: { ...spool, drying },
    nowMs: state.nowMs.value,
    format: state.format.value,
  }).replace(`${spool.id}: `, '');

const gramsText = (spool: SpoolState): string =>
  countedOnG(spool) > 0 ? SPOOLS.grams(grams(countedOnG(spool)), grams(likelyG(spool))) : SPOOLS.none;
