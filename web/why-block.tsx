/** "Why this number", of the spool and of the chamber: what was assumed, what the data say, what would sharpen it. */
import type { BenchState } from './bench-state.ts';
import { chamberWhy } from './chamber-why.ts';
import { age, roundAge } from './format.ts';
import { nameIn } from './stations.ts';
import { WhyDetails, WhyLearned, WhySentences } from './why-details.tsx';
import { inShort } from './why-words.ts';
import { CHAMBER_WHY, WHY } from './words/why.ts';

const legend = (readingsMs: number | null): string =>
  WHY.key(readingsMs === null ? age(0) : roundAge(Math.max(0, readingsMs)));

/** While a station is quiet its estimates are of then. */
function asOf(state: BenchState, id: string | undefined): string | null {
  const station = state.bench.value?.stations.find((one) => one.id === id);
  if (!station?.quiet || station.heardMs === null) return null;
  return WHY.asOf(state.format.value.when(station.heardMs, state.nowMs.value));
}

export function WhyBlock({ state }: { state: BenchState }) {
  const spool = state.spool.value;
  const drying = spool?.drying;
  const both = drying !== undefined && drying !== null && state.chamber.value !== null;
  return (
    <>
      {drying && (
        <WhyDetails
          head={both ? WHY.headOf(spool.id) : WHY.head}
          short={asOf(state, spool.station) ?? inShort(drying)}
        >
          <WhySentences head={WHY.assumed} said={drying.assumptions} bold={drying.notes} />
          <WhyLearned
            head={WHY.data}
            rows={drying.posterior}
            legend={legend(drying.runStartMs === null ? null : drying.fittedMs - drying.runStartMs)}
            none={WHY.noData}
          />
          <WhySentences head={WHY.sharpen} said={drying.sharpen} none={WHY.nothing} />
        </WhyDetails>
      )}
      <OfChamber state={state} both={both} />
    </>
  );
}

function OfChamber({ state, both }: { state: BenchState; both: boolean }) {
  const chamber = state.chamber.value;
  const station = state.cast.value.chamber;
  if (!chamber || !station) return null;
  const where = nameIn(state.bench.value?.stations ?? [], station);
  const why = chamberWhy(chamber, state.format.value);
  const { fittedMs, heatOnMs } = chamber;
  return (
    <WhyDetails
      head={both ? CHAMBER_WHY.headOf(where) : WHY.head}
      short={asOf(state, station.id) ?? why.short}
    >
      <WhySentences head={WHY.assumed} said={chamber.assumptions} bold={chamber.notes} />
      <WhyLearned
        head={WHY.data}
        rows={chamber.posterior}
        legend={legend(fittedMs === null || heatOnMs === null ? null : fittedMs - heatOnMs)}
        none={why.none}
      />
      <WhySentences head={CHAMBER_WHY.near} said={why.near} none={CHAMBER_WHY.notHeated} />
    </WhyDetails>
  );
}
