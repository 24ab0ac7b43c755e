/** Entered in place: a weigh-in, a lid, a spool put in, taken out or bagged. Shows what was taken and what was not. */
import { useSignal } from '@preact/signals';
import type { SpoolState } from '../server/api/messages.ts';
import type { BenchState } from './bench-state.ts';
import { browserWorld } from './browser-world.ts';
import {
  type BoxEntry,
  doubtBeside,
  type PostEntry,
  readGrams,
  SCALE_STEPS_G,
  sayEntry,
  stepText,
  USUAL_STEP_G,
} from './entries.ts';
import { fetchLastWeighed } from './spools/life.ts';
import { ENTRY } from './words/spool.ts';

/** A weigh-in is entered all the same where the diary does not come in time. */
const PATIENCE_MS = 3000;
const lastWeighed = (spool: string): Promise<number | null> =>
  fetchLastWeighed(browserWorld().fetchJson, spool, AbortSignal.timeout(PATIENCE_MS)).catch(() => null);

interface Outcome {
  readonly said: string;
  /** `field`: what stands in the weight field is in the way. */
  readonly of: 'taken' | 'sending' | 'field' | 'refused';
}

export function EntryForm({ state, post }: { state: BenchState; post: PostEntry }) {
  const spool = state.spool.value;
  const text = useSignal('');
  const stepG = useSignal(USUAL_STEP_G as number);
  const doubted = useSignal<string | null>(null);
  const outcome = useSignal<Outcome | null>(null);
  if (!spool) return null;

  const send = async (entry: BoxEntry): Promise<void> => {
    outcome.value = { said: ENTRY.sending, of: 'sending' };
    const posted = await post(entry);
    if (!posted.ok) {
      outcome.value = {
        said: ENTRY.refused(posted.sentence),
        of: entry.kind === 'weigh-in' ? 'field' : 'refused',
      };
      return;
    }
    const clock = state.format.value.clock(state.nowMs.value);
    outcome.value = { said: ENTRY.taken(sayEntry(entry), clock), of: 'taken' };
    if (entry.kind === 'weigh-in') text.value = '';
  };
  const weigh = async (event: Event): Promise<void> => {
    event.preventDefault();
    // Two presses at once are one: the second is not yet an answer to a doubt.
    if (outcome.value?.of === 'sending') return;
    const typed = text.value;
    const read = readGrams(typed, spool.netMassG, spool.takenG);
    const meant = doubted.value === typed;
    const doubt = (sentence: string): void => {
      doubted.value = typed;
      outcome.value = { said: sentence, of: 'field' };
    };
    if (!read.ok) {
      doubted.value = null;
      outcome.value = { said: read.detail, of: 'field' };
      return;
    }
    if (!meant) {
      if (read.doubt !== null) return doubt(read.doubt);
      outcome.value = { said: ENTRY.looking, of: 'sending' };
      const lastG = await lastWeighed(spool.id);
      const beside = lastG === null ? null : doubtBeside(read.massG, lastG, spool);
      if (beside !== null) return doubt(beside);
    }
    doubted.value = null;
    await send({ kind: 'weigh-in', spool: spool.id, massG: read.massG, resolutionG: stepG.value });
  };
  const wrong = outcome.value?.of === 'field';
  return (
    <div class="entry">
      <form onSubmit={(event) => void weigh(event)} noValidate>
        <label for="weigh">{ENTRY.weigh}</label>
        <span class="field">
          <input
            id="weigh"
            inputMode="decimal"
            autoComplete="off"
            value={text.value}
            aria-invalid={wrong}
            aria-describedby="entered"
            onInput={(event) => {
              text.value = event.currentTarget.value;
            }}
          />
          <span>{ENTRY.grams}</span>
        </span>
        <label for="step">{ENTRY.step}</label>
        <select
          id="step"
          value={String(stepG.value)}
          onChange={(event) => {
            stepG.value = Number(event.currentTarget.value);
          }}
        >
          {SCALE_STEPS_G.map((step) => (
            <option value={String(step)} key={step}>
              {ENTRY.stepOf(stepText(step))}
            </option>
          ))}
        </select>
        <button type="submit">{ENTRY.enter}</button>
      </form>
      <Happened spool={spool} send={(entry) => void send(entry)} />
      <p
        id="entered"
        role="status"
        class={outcome.value && outcome.value.of !== 'taken' && outcome.value.of !== 'sending' ? 'wrong' : ''}
      >
        {outcome.value?.said ?? ''}
      </p>
    </div>
  );
}

function Happened({ spool, send }: { spool: SpoolState; send(entry: BoxEntry): void }) {
  const inside = spool.drying?.state !== 'idle';
  const kept = spool.drying?.state === 'holding' || spool.drying?.state === 'regaining';
  const acts: readonly (readonly [words: string, entry: BoxEntry])[] = inside
    ? [
        [ENTRY.lid, { kind: 'lid', station: spool.station }],
        [ENTRY.out, { kind: 'spool-out', spool: spool.id }],
        [ENTRY.bagged, { kind: 'bagged', spool: spool.id }],
        // A run is seen by its heat; one that is not can be begun by hand.
        ...(kept ? [[ENTRY.start, { kind: 'run-start', spool: spool.id }] as const] : []),
      ]
    : [
        [ENTRY.in, { kind: 'spool-in', spool: spool.id }],
        [ENTRY.bagged, { kind: 'bagged', spool: spool.id }],
      ];
  return (
    <fieldset class="acts">
      <legend class="vh">{ENTRY.did}</legend>
      {acts.map(([words, entry]) => (
        <button type="button" onClick={() => send(entry)} key={words}>
          {words}
        </button>
      ))}
    </fieldset>
  );
}
