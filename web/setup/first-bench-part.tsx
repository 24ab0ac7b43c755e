/** What a first run asks: where each sensor is, and what spool lies in the box. */
import { useSignal } from '@preact/signals';
import { postJson } from '../ask.ts';
import { FIRST, ROLE_CHOICES } from '../words/setup.ts';
import { Choice, Text } from './fields.tsx';
import {
  FIRST_SPOOL,
  fill,
  firstChoice,
  type HeardStation,
  heardStations,
  SPOOL_ROLES,
  type SpoolChoice,
  type StationChoice,
  stationKey,
  usualHome,
} from './first-bench.ts';
import type { Setup } from './setup-state.ts';

export function FirstBenchPart({ setup }: { setup: Setup }) {
  const choices = useSignal<ReadonlyMap<string, StationChoice>>(new Map());
  const spool = useSignal<SpoolChoice | null>(FIRST_SPOOL);
  const said = useSignal<{ sentence: string; wrong: boolean } | null>(null);
  const state = setup.state.value;
  if (!state?.writesTo) return null;
  const heard = heardStations(state);
  if (heard.length === 0) return null;
  const choiceOf = (station: HeardStation) => choices.value.get(stationKey(station)) ?? firstChoice(station);
  const choose = (station: HeardStation, parts: Partial<StationChoice>): void => {
    choices.value = new Map(choices.value).set(stationKey(station), { ...choiceOf(station), ...parts });
  };
  const homes = heard.map(choiceOf).filter(({ role }) => SPOOL_ROLES.includes(role));
  const write = async (event: Event): Promise<void> => {
    event.preventDefault();
    const filled = fill(heard, choices.value, spool.value);
    if (!filled.ok) {
      said.value = { sentence: filled.sentence, wrong: true };
      return;
    }
    const answer = await postJson<{ path: string }>('/api/setup/bench', filled.bench);
    said.value = answer.ok
      ? { sentence: FIRST.written(answer.value.path), wrong: false }
      : { sentence: answer.sentence, wrong: true };
    // The server begins anew in a moment; what it then is, is asked for again.
    if (answer.ok) setTimeout(() => void setup.look(), AGAIN_MS);
  };
  return (
    <form class="setup first" onSubmit={(event) => void write(event)} noValidate aria-labelledby="first">
      <h2 class="head" id="first">
        {FIRST.stationsHead}
      </h2>
      {heard.map((station) => (
        <StationFields
          key={stationKey(station)}
          station={station}
          choice={choiceOf(station)}
          choose={(parts) => choose(station, parts)}
          things={setup.materials.value?.things ?? []}
        />
      ))}
      {homes.length > 0 && (
        <SpoolFields
          spool={spool.value}
          homes={homes.map(({ name }) => name)}
          usual={usualHome(homes)?.name ?? ''}
          materials={setup.materials.value?.materials ?? []}
          set={(next) => {
            spool.value = next;
          }}
        />
      )}
      <p class="soft">{FIRST.writesTo(state.writesTo)}</p>
      <button type="submit" class="act">
        {FIRST.write}
      </button>
      <p role="status" class={said.value?.wrong ? 'wrong' : ''}>
        {said.value?.sentence ?? ''}
      </p>
    </form>
  );
}

const AGAIN_MS = 3000;

function StationFields({
  station,
  choice,
  choose,
  things,
}: {
  station: HeardStation;
  choice: StationChoice;
  choose(parts: Partial<StationChoice>): void;
  things: readonly { key: string; name: string; ceilingC: number }[];
}) {
  const id = stationKey(station);
  const values = Object.entries(station.values).map(([key, value]) => `${key} ${value}`);
  const heated = choice.role === 'chamber' || choice.role === 'electronics';
  return (
    <fieldset class="row">
      <legend>
        <b>{FIRST.station(station.heardId)}</b> <span class="soft">{values.join(' · ')}</span>
      </legend>
      <Choice
        id={`role ${id}`}
        label={FIRST.where}
        value={choice.role}
        options={ROLE_CHOICES}
        set={(role) => choose({ role })}
      />
      {station.heardId === '' && (
        <Text
          id={`name ${id}`}
          label={FIRST.stationName}
          value={choice.name}
          set={(name) => choose({ name })}
        />
      )}
      {heated && (
        <fieldset class="things">
          <legend>{FIRST.inside}</legend>
          {things.map(({ key, name, ceilingC }) => (
            <label key={key}>
              <input
                type="checkbox"
                checked={choice.inside.includes(key)}
                onChange={(event) =>
                  choose({
                    inside: event.currentTarget.checked
                      ? [...choice.inside, key]
                      : choice.inside.filter((other) => other !== key),
                  })
                }
              />{' '}
              {name} <span class="soft">{ceilingC} °C</span>
            </label>
          ))}
        </fieldset>
      )}
    </fieldset>
  );
}

function SpoolFields({
  spool,
  homes,
  usual,
  materials,
  set,
}: {
  spool: SpoolChoice | null;
  homes: readonly string[];
  /** Of them, where a spool mostly lies. */
  usual: string;
  materials: readonly { key: string; name: string }[];
  set(spool: SpoolChoice | null): void;
}) {
  const change = (parts: Partial<SpoolChoice>): void => set({ ...(spool ?? FIRST_SPOOL), ...parts });
  return (
    <fieldset class="row">
      <legend>
        <b>{FIRST.spoolHead}</b>
      </legend>
      <label>
        <input
          type="checkbox"
          checked={spool !== null}
          onChange={(event) => set(event.currentTarget.checked ? FIRST_SPOOL : null)}
        />{' '}
        {FIRST.hasSpool}
      </label>
      {spool && (
        <>
          <Text id="spool-name" label={FIRST.spoolName} value={spool.name} set={(name) => change({ name })} />
          {homes.length > 1 && (
            <Choice
              id="spool-station"
              label={FIRST.inStation}
              value={homes.includes(spool.station) ? spool.station : usual}
              options={homes.map((home) => [home, home])}
              set={(station) => change({ station })}
            />
          )}
          <Choice
            id="spool-material"
            label={FIRST.material}
            value={spool.material}
            options={materials.map(({ key, name }) => [key, `${name} (${key})`])}
            set={(material) => change({ material })}
          />
          <Text
            id="spool-mass"
            label={FIRST.mass}
            hint={FIRST.massHint}
            value={spool.massText}
            set={(massText) => change({ massText })}
          />
          <Choice
            id="spool-reel"
            label={FIRST.reel}
            value={spool.reel}
            options={FIRST.reels}
            set={(reel) => change({ reel })}
          />
          <Choice
            id="spool-stored"
            label={FIRST.stored}
            value={spool.stored}
            options={FIRST.stores}
            set={(stored) => change({ stored })}
          />
        </>
      )}
    </fieldset>
  );
}
