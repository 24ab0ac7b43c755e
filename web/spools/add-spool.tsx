/** A spool put on the bench: what it is, where it lies, where it was stored. */
import { useSignal } from '@preact/signals';
import type { MaterialsAnswer } from '../../server/api/messages-setup.ts';
import { askJson, postJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { Choice, Text } from '../setup/fields.tsx';
import { FIRST_SPOOL, SPOOL_ROLES, type SpoolChoice, usualHome } from '../setup/first-bench.ts';
import { FIRST } from '../words/setup.ts';
import { ADD_SPOOL } from '../words/spools.ts';

export function AddSpool({ state }: { state: BenchState }) {
  const spool = useSignal<SpoolChoice>({ ...FIRST_SPOOL, name: '' });
  const limit = useSignal('');
  const said = useSignal<{ readonly sentence: string; readonly wrong: boolean } | null>(null);
  const materials = useSignal<MaterialsAnswer['materials']>([]);
  // Asked for by who opens the form.
  const look = (): void => {
    if (materials.value.length > 0) return;
    void askJson<MaterialsAnswer>('/api/materials').then((answer) => {
      if (answer.ok) materials.value = answer.value.materials;
    });
  };
  const homes = (state.bench.value?.stations ?? []).filter(({ role }) => SPOOL_ROLES.includes(role));
  if (homes.length === 0) return null;
  const change = (parts: Partial<SpoolChoice>): void => {
    spool.value = { ...spool.value, ...parts };
  };
  const add = async (event: Event): Promise<void> => {
    event.preventDefault();
    const { name, station, material, massText, reel, stored } = spool.value;
    const netMassG = Number(massText.trim().replace(',', '.'));
    const limitWtPercent = Number(limit.value.trim().replace(',', '.'));
    if (!/^[A-Za-z0-9_-]{1,16}$/.test(name)) {
      said.value = { sentence: FIRST.needName, wrong: true };
      return;
    }
    if (!(netMassG >= 1 && netMassG <= 20_000)) {
      said.value = { sentence: ADD_SPOOL.needMass, wrong: true };
      return;
    }
    if (limit.value.trim() !== '' && !(limitWtPercent > 0 && limitWtPercent <= 20)) {
      said.value = { sentence: ADD_SPOOL.needLimit, wrong: true };
      return;
    }
    const answer = await postJson('/api/spools', {
      id: name,
      station: homes.some(({ id }) => id === station) ? station : usualHome(homes)?.id,
      material,
      netMassG,
      reel,
      stored,
      ...(limit.value.trim() === '' ? {} : { limitWtPercent }),
    });
    said.value = answer.ok
      ? { sentence: ADD_SPOOL.added(name), wrong: false }
      : { sentence: answer.sentence, wrong: true };
    if (answer.ok) change({ name: '' });
  };
  return (
    <details class="setup add-spool" onToggle={look}>
      <summary>{ADD_SPOOL.head}</summary>
      <form onSubmit={(event) => void add(event)} noValidate>
        <div class="row">
          <Text
            id="add-name"
            label={FIRST.spoolName}
            value={spool.value.name}
            set={(name) => change({ name })}
          />
          <Choice
            id="add-station"
            label={FIRST.inStation}
            value={
              homes.some(({ id }) => id === spool.value.station)
                ? spool.value.station
                : (usualHome(homes)?.id ?? '')
            }
            options={homes.map(({ id }) => [id, id])}
            set={(station) => change({ station })}
          />
          <Choice
            id="add-material"
            label={FIRST.material}
            value={spool.value.material}
            options={materials.value.map(({ key, name }) => [key, `${name} (${key})`])}
            set={(material) => change({ material })}
          />
          <Text
            id="add-mass"
            label={FIRST.mass}
            hint={FIRST.massHint}
            value={spool.value.massText}
            set={(massText) => change({ massText })}
          />
          <Choice
            id="add-reel"
            label={FIRST.reel}
            value={spool.value.reel}
            options={FIRST.reels}
            set={(reel) => change({ reel })}
          />
          <Choice
            id="add-stored"
            label={FIRST.stored}
            value={spool.value.stored}
            options={FIRST.stores}
            set={(stored) => change({ stored })}
          />
          <Text
            id="add-limit"
            label={ADD_SPOOL.limit}
            hint={ADD_SPOOL.limitHint}
            value={limit.value}
            set={(text) => {
              limit.value = text;
            }}
          />
        </div>
        <button type="submit">{ADD_SPOOL.add}</button>
      </form>
      <p role="status" class={said.value?.wrong ? 'wrong' : ''}>
        {said.value?.sentence ?? ''}
      </p>
    </details>
  );
}

export function RemoveSpool({ id }: { id: string }) {
  const said = useSignal('');
  const asked = useSignal(false);
  const remove = async (): Promise<void> => {
    const answer = await postJson(`/api/spools/${encodeURIComponent(id)}/remove`, {});
    said.value = answer.ok ? ADD_SPOOL.removed(id) : answer.sentence;
    asked.value = false;
  };
  return (
    <p class="remove">
      {asked.value ? (
        <>
          {ADD_SPOOL.sure(id)}{' '}
          <button type="button" onClick={() => void remove()}>
            {ADD_SPOOL.remove}
          </button>{' '}
          <button
            type="button"
            onClick={() => {
              asked.value = false;
            }}
          >
            {ADD_SPOOL.keep}
          </button>
        </>
      ) : (
        <button
          type="button"
          onClick={() => {
            asked.value = true;
          }}
        >
          {ADD_SPOOL.remove}
        </button>
      )}{' '}
      <span role="status">{said.value}</span>
    </p>
  );
}
