/** How times and temperatures are shown in this browser. */
import type { BenchState } from '../bench-state.ts';
import type { Preferences } from '../format.ts';
import { keepPreferences } from '../preferences.ts';
import { SHOWN } from '../words/setup.ts';
import { Choice } from './fields.tsx';

export function ShownPart({ state }: { state: BenchState }) {
  const preferences = state.preferences.value;
  const change = (parts: Partial<Preferences>): void => {
    state.preferences.value = { ...preferences, ...parts };
    keepPreferences(state.preferences.value);
  };
  return (
    <section class="setup" aria-labelledby="shown">
      <h2 class="head" id="shown">
        {SHOWN.head}
      </h2>
      <p class="soft">{SHOWN.tell}</p>
      <div class="row">
        <Choice
          id="shown-clock"
          label={SHOWN.clock}
          value={preferences.clock}
          options={SHOWN.clocks}
          set={(clock) => change({ clock })}
        />
        <Choice
          id="shown-temperature"
          label={SHOWN.temperature}
          value={preferences.temperature}
          options={SHOWN.temperatures}
          set={(temperature) => change({ temperature })}
        />
      </div>
    </section>
  );
}
