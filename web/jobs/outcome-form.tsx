/** How an attempt came out, said afterwards: outcome, note and settings. */
import { useSignal } from '@preact/signals';
import type { JobState } from '../../server/api/messages-jobs.ts';
import type { PostEntry } from '../entries.ts';
import { ATTEMPTS, RUN_ACTS } from '../words/jobs.ts';
import { settingsFrom } from './attempt-words.ts';
import { type SettingRow, SettingsRows } from './settings-rows.tsx';

const LONGEST_NOTE = 1000;

export function OutcomeForm({ job, post, kept }: { job: JobState; post: PostEntry; kept(): void }) {
  const outcome = useSignal(job.outcome);
  const note = useSignal(job.note);
  const rows = useSignal<readonly SettingRow[]>([
    ...Object.entries(job.settings).map(([name, value]): SettingRow => [name, String(value)]),
    ['', ''],
  ]);
  const said = useSignal('');
  const wrong = useSignal(false);
  const keep = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (outcome.value === null) {
      said.value = ATTEMPTS.chooseOutcome;
      wrong.value = true;
      return;
    }
    said.value = RUN_ACTS.sending;
    wrong.value = false;
    const posted = await post({
      kind: 'job-outcome',
      job: job.id,
      outcome: outcome.value,
      note: note.value.trim(),
      settings: settingsFrom(rows.value),
    });
    wrong.value = !posted.ok;
    said.value = posted.ok
      ? ATTEMPTS.kept(job.name, ATTEMPTS.outcome(outcome.value))
      : RUN_ACTS.refused(posted.sentence);
    if (posted.ok) kept();
  };
  return (
    <form class="outcome" onSubmit={(event) => void keep(event)}>
      <fieldset>
        <legend>{ATTEMPTS.say(job.name)}</legend>
        {ATTEMPTS.outcomes.map((each) => (
          <label key={each}>
            <input
              type="radio"
              name={`outcome-${job.id}`}
              checked={outcome.value === each}
              onChange={() => {
                outcome.value = each;
              }}
            />
            {ATTEMPTS.outcome(each)}
          </label>
        ))}
      </fieldset>
      <label class="note">
        {ATTEMPTS.note}
        <input
          value={note.value}
          maxLength={LONGEST_NOTE}
          placeholder={ATTEMPTS.notePlaceholder}
          onInput={(event) => {
            note.value = event.currentTarget.value;
          }}
        />
      </label>
      <SettingsRows
        id={job.id}
        rows={rows.value}
        change={(next) => {
          rows.value = next;
        }}
      />
      <button type="submit">{ATTEMPTS.keep}</button>
      <p role="status" class={wrong.value ? 'wrong' : ''}>
        {said.value}
      </p>
    </form>
  );
}
