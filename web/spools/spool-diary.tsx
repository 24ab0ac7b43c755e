/** What was entered of a spool, newest first, with what each weigh-in changed; entered in place, and taken back. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { SpoolState } from '../../server/api/messages.ts';
import type { DiaryEntry } from '../../server/api/messages-diary.ts';
import type { BenchState } from '../bench-state.ts';
import { browserWorld } from '../browser-world.ts';
import { type PostEntry, sayKept } from '../entries.ts';
import { EntryForm } from '../entry-form.tsx';
import { moistureRange } from '../format.ts';
import { SPOOLS } from '../words/spools.ts';
import { fetchDiary, fetchNarrowing, type Narrowing } from './life.ts';

/** Of so many weigh-ins it is looked up what they changed. */
const LOOKED_UP = 6;

export function SpoolDiary({
  state,
  post,
  spool,
}: {
  state: BenchState;
  post: PostEntry;
  spool: SpoolState;
}) {
  const entries = useSignal<readonly DiaryEntry[] | null>(null);
  const missing = useSignal(false);
  const asked = useSignal(0);
  const narrowings = useSignal<ReadonlyMap<number, Narrowing>>(new Map());
  const outcome = useSignal('');
  const { id, station } = spool;
  const fittedMs = spool.drying?.fittedMs ?? 0;
  const times = asked.value;
  useEffect(() => {
    void times;
    const own = new AbortController();
    fetchDiary(browserWorld().fetchJson, id, own.signal).then(
      (told) => {
        missing.value = false;
        entries.value = told;
      },
      () => {
        if (!own.signal.aborted) missing.value = true;
      },
    );
    return () => own.abort();
  }, [id, times, entries, missing]);
  const weighed = (entries.value ?? []).filter((entry) => entry.kind === 'weigh-in' && !entry.undone);
  const wanted = weighed.slice(-LOOKED_UP).map((entry) => entry.number);
  useEffect(() => {
    void fittedMs;
    const own = new AbortController();
    for (const entry of weighed.filter(({ number }) => wanted.includes(number)))
      if (!narrowings.value.has(entry.number))
        fetchNarrowing(browserWorld().fetchJson, { id, station }, entry.atMs, own.signal).then(
          (found) => {
            if (found) narrowings.value = new Map(narrowings.value).set(entry.number, found);
          },
          // What it changed is a comfort, not a need: it is asked again at the next fit.
          () => {},
        );
    return () => own.abort();
  }, [wanted.join(), fittedMs, id, station]);

  const postAndAsk: PostEntry = async (entry) => {
    const posted = await post(entry);
    if (posted.ok) asked.value++;
    return posted;
  };
  const undo = async (): Promise<void> => {
    outcome.value = SPOOLS.undoing;
    const posted = await postAndAsk({ kind: 'weigh-in-undone', spool: id });
    outcome.value = posted.ok ? SPOOLS.undone : SPOOLS.refused(posted.sentence);
  };
  const format = state.format.value;
  const nowMs = state.nowMs.value;
  const lastWeighed = weighed.at(-1)?.number;
  return (
    <div class="diary">
      <EntryForm state={state} post={postAndAsk} />
      <p role="status" class="reads">
        {outcome.value}
      </p>
      <h3>{SPOOLS.diary(id)}</h3>
      {missing.value && <p class="trouble">{SPOOLS.missing}</p>}
      {entries.value?.length === 0 && <p class="soft">{SPOOLS.nothing}</p>}
      <ol>
        {entries.value?.toReversed().map((entry) => (
          <li key={entry.number}>
            <span class="when">{format.when(entry.atMs, nowMs)}</span>
            <span>
              {entry.undone ? <s>{sayKept(entry)}</s> : sayKept(entry)}
              {entry.undone && ` (${SPOOLS.takenBack})`}
              {entry.kind === 'weigh-in' && !entry.undone && (
                <em>
                  {sayNarrowing(weighed[0]?.number === entry.number, narrowings.value.get(entry.number))}
                </em>
              )}
            </span>
            {entry.number === lastWeighed && (
              <button type="button" onClick={() => void undo()}>
                {SPOOLS.undo}
              </button>
            )}
          </li>
        ))}
      </ol>
    </div>
  );
}

function sayNarrowing(first: boolean, found: Narrowing | undefined): string {
  if (first) return SPOOLS.first;
  if (!found) return SPOOLS.waiting;
  const band = ({ low, high }: Narrowing['before']): string => moistureRange({ p05: low, p95: high });
  return SPOOLS.narrowed(band(found.before), band(found.after), found.percent);
}
