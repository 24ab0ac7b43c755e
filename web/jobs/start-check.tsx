/** The start check: the answer, the job as a sentence, what it rests on, another time, and the press that begins it. */
import { type Signal, useComputed, useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { askJson } from '../ask.ts';
import { moisture, withUnit } from '../format.ts';
import { pieceOf } from '../piece-text.tsx';
import type { ScreenProps } from '../shell/screen-props.ts';
import { RUN_ACTS, START, sureOf, WAITING } from '../words/jobs.ts';
import { gramsIn } from './amounts.ts';
import { type Field, jobIdAt, readJob, type Typed, typedIn, withTyped } from './asked-job.ts';
import { settingsFrom } from './attempt-words.ts';
import { JobForm } from './job-form.tsx';
import { type SettingRow, SettingsRows } from './settings-rows.tsx';
import { plainHeading, startAnswer } from './start-answer.ts';
import { createStartAsker, type StartKnown } from './start-asker.ts';
import { StartRuler } from './start-ruler.tsx';

/** The time someone points at, in the address. */
const AT = 'at';
const REST_MS = 300;
const GOES_STALE_MS = 600_000;

export function StartCheck({
  state,
  post,
  route,
  below,
  changed,
}: ScreenProps & { readonly below: boolean; readonly changed: Signal<number> }) {
  const known = useSignal<StartKnown | null>(null);
  const typed = useComputed<Typed>(() => typedIn(route.place.value.query));
  const pointedMs = useSignal<number | null>(pointedIn(route.place.value.query));
  const asked = useComputed(() => {
    const bench = state.bench.value;
    return readJob(typed.value, {
      spools: (bench?.spools ?? []).map(({ id }) => id),
      chambers: (bench?.stations ?? []).filter(({ role }) => role === 'chamber').map(({ id }) => id),
      fahrenheit: state.format.value.temperatureUnit === '°F',
    });
  });
  const asker = useMemo(
    () =>
      createStartAsker(
        {
          ask: askJson,
          after(ms, call) {
            const timer = setTimeout(call, ms);
            return () => clearTimeout(timer);
          },
          nowMs: () => performance.now(),
          benchMs: () => state.nowMs.value,
        },
        (answer) => {
          known.value = answer;
        },
      ),
    [known, state],
  );
  useEffect(() => () => asker.stop(), [asker]);
  // Browsers refuse an address that changes with each move of a hand.
  const writing = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  useEffect(() => () => clearTimeout(writing.current), []);
  useSignalEffect(() => {
    const bench = state.bench.value;
    const query = asked.value.ok ? asked.value.query : null;
    // What an answer rests on: it is asked again when one of these has changed, and every ten minutes of the bench.
    const standing = JSON.stringify([
      bench?.spools.find(({ id }) => id === query?.spool)?.drying?.fittedMs,
      bench?.spools.find(({ id }) => id === query?.spool)?.drying?.state,
      bench?.chambers.find(({ station }) => station === query?.chamber)?.fittedMs,
      bench?.jobs.map((job) => [job.id, job.state]),
      state.connection.value,
      Math.floor(state.nowMs.value / GOES_STALE_MS),
    ]);
    asker.want(query, standing);
  });
  const bench = state.bench.value;
  const format = state.format.value;
  const nowMs = state.nowMs.value;
  const query = asked.value.ok ? asked.value.query : null;
  const spools = bench?.spools ?? [];
  const spool = spools.find(({ id }) => id === (query?.spool ?? spools[0]?.id)) ?? null;
  const answer = startAnswer({
    connection: state.connection.value,
    lostSinceMs: state.lostSinceMs.value,
    stations: bench?.stations ?? [],
    spool,
    name: typed.value.name.trim(),
    query,
    finding: known.value?.finding ?? null,
    refusal: known.value?.refusal ?? null,
    nowMs,
    format,
  });
  const answered = known.value?.query ?? null;
  const fresh = JSON.stringify(answered) === JSON.stringify(query);

  const type = (field: Field, value: string): void => {
    route.refine(withTyped(route.place.value.query, { ...typed.value, [field]: value }));
  };
  const point = (atMs: number | null): void => {
    pointedMs.value = atMs;
    clearTimeout(writing.current);
    writing.current = setTimeout(() => route.refine(withPointed(route.place.value.query, atMs)), REST_MS);
  };
  const earliestMs = known.value?.finding?.earliestMs ?? null;
  const lastMs = known.value?.chances?.chances.at(-1)?.atMs ?? Number.POSITIVE_INFINITY;
  const startMs = Math.max(nowMs, Math.min(lastMs, pointedMs.value ?? earliestMs ?? nowMs));
  const limit = spool ? withUnit(moisture(spool.limitWtPercent), '%') : '';
  const Heading = below ? 'h2' : 'h1';
  return (
    <section class="start-check" aria-label={START.head}>
      {below && <p class="over soft">{START.next}</p>}
      <div class={below ? 'answer lesser' : 'answer'}>
        <Heading>{answer.heading.map(pieceOf)}</Heading>
      </div>
      <p class="vh" role="status">
        {fresh ? plainHeading(answer) : ''}
      </p>
      <JobForm
        typed={typed.value}
        asked={asked.value}
        spools={spools}
        chambers={(bench?.stations ?? []).filter(({ role }) => role === 'chamber')}
        format={format}
        type={type}
      />
      <div class={fresh ? 'chain' : 'chain older'}>
        <div>
          {answer.tell.map((line) => (
            <p class="tell" key={line}>
              {line}
            </p>
          ))}
        </div>
        {answer.ifNow && (
          <div class="if-now">
            <h2 class="head">{START.nowHead}</h2>
            {answer.ifNow.map((line, index) => (
              <p key={index}>{line.map(pieceOf)}</p>
            ))}
          </div>
        )}
      </div>
      {answer.tellsTimes && known.value?.chances && answered && (
        <StartRuler
          chances={known.value.chances}
          earliestMs={earliestMs}
          startMs={startMs}
          hours={answered.hours}
          sure={answered.sure ?? 0.9}
          sureText={sureOf(answered.sure ?? 0.9)}
          limit={limit}
          nowMs={nowMs}
          format={format}
          move={point}
        />
      )}
      {query && !bench?.jobs.some((job) => job.spool === query.spool && job.state !== 'ended') && (
        <Begin
          enter={async (kind, settings) => {
            const name = typed.value.name.trim();
            const posted = await post({
              kind,
              job: jobIdAt(state.nowMs.value),
              name: name === '' ? START.unnamed(gramsIn(query.grams), query.spool) : name,
              spool: query.spool,
              ...(query.chamber === undefined ? {} : { station: query.chamber }),
              grams: query.grams,
              hours: query.hours,
              ...(query.chamberC === undefined ? {} : { chamberC: query.chamberC }),
              ...(query.exitOpen ? { exitOpen: true } : {}),
              settings,
            });
            changed.value++;
            return posted;
          }}
        />
      )}
    </section>
  );
}

interface BeginProps {
  enter(
    kind: 'job-start' | 'job-wait',
    settings: Record<string, string | number>,
  ): ReturnType<ScreenProps['post']>;
}

function Begin(props: BeginProps) {
  const rows = useSignal<readonly SettingRow[]>([['', '']]);
  const said = useSignal('');
  const wrong = useSignal(false);
  const press = async (kind: 'job-start' | 'job-wait'): Promise<void> => {
    said.value = RUN_ACTS.sending;
    wrong.value = false;
    const posted = await props.enter(kind, settingsFrom(rows.value));
    said.value = posted.ok ? (kind === 'job-wait' ? WAITING.told : '') : RUN_ACTS.refused(posted.sentence);
    wrong.value = !posted.ok;
  };
  return (
    <div class="begin">
      <button type="button" class="main" onClick={() => void press('job-start')}>
        {RUN_ACTS.begin}
      </button>
      <button type="button" onClick={() => void press('job-wait')}>
        {WAITING.tell}
      </button>
      <span class="soft">{RUN_ACTS.beginTell}</span>
      <details>
        <summary>{RUN_ACTS.withSettings}</summary>
        <SettingsRows
          id="begin"
          rows={rows.value}
          change={(next) => {
            rows.value = next;
          }}
        />
      </details>
      <p role="status" class={wrong.value ? 'wrong' : ''}>
        {said.value}
      </p>
    </div>
  );
}

function pointedIn(query: string): number | null {
  const atMs = Date.parse(new URLSearchParams(query).get(AT) ?? '');
  return Number.isFinite(atMs) ? atMs : null;
}

function withPointed(query: string, atMs: number | null): string {
  const params = new URLSearchParams(query);
  if (atMs === null) params.delete(AT);
  else params.set(AT, new Date(Math.round(atMs / 60_000) * 60_000).toISOString().replace(':00.000Z', 'Z'));
  return params.toString();
}
