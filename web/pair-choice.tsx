/** With several boxes or chambers: which of them the plate shows. */
import type { StationState } from '../server/api/messages.ts';
import type { BenchState } from './bench-state.ts';
import { isBox } from './stations.ts';
import { PLATE } from './words.ts';

export function PairChoice({ state }: { state: BenchState }) {
  const stations = state.bench.value?.stations ?? [];
  const boxes = stations.filter(isBox);
  const chambers = stations.filter((station) => station.role === 'chamber');
  if (boxes.length < 2 && chambers.length < 2) return null;
  const { box, chamber } = state.cast.value;
  return (
    <div class="pairs">
      <Choice
        label={PLATE.shownOf.box}
        among={boxes}
        chosen={box}
        choose={(boxId) => {
          state.chosen.value = { ...state.chosen.value, boxId };
        }}
      />
      <Choice
        label={PLATE.shownOf.chamber}
        among={chambers}
        chosen={chamber}
        choose={(chamberId) => {
          state.chosen.value = { ...state.chosen.value, chamberId };
        }}
      />
    </div>
  );
}

function Choice(props: {
  label: string;
  among: readonly StationState[];
  chosen: StationState | null;
  choose(id: string): void;
}) {
  if (props.among.length < 2) return null;
  return (
    <fieldset class="spans">
      <legend>{props.label}</legend>
      {props.among.map((station) => (
        <button
          type="button"
          aria-pressed={station === props.chosen}
          onClick={() => props.choose(station.id)}
          key={station.id}
        >
          {station.id}
        </button>
      ))}
    </fieldset>
  );
}
