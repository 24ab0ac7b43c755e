/** The whole page: what is simulated, the answer, its evidence, and what it must not be taken for. */
import { AnswerBlock } from './answer-block.tsx';
import { BenchPlate } from './bench-plate.tsx';
import type { BenchState } from './bench-state.ts';
import type { PostEntry } from './entries.ts';
import { EntryForm } from './entry-form.tsx';
import { FirstSteps } from './first-steps.tsx';
import { PairChoice } from './pair-choice.tsx';
import { SourcesList } from './sources-list.tsx';
import { StationsTable } from './stations-table.tsx';
import { WhyBlock } from './why-block.tsx';
import { HISTORY } from './words/bench.ts';
import { PAGE, SIMULATED } from './words/shell.ts';

export function Page({ state, post }: { state: BenchState; post: PostEntry }) {
  const bench = state.bench.value;
  const stations = bench?.stations ?? [];
  return (
    <>
      <SimulatedStrip state={state} />
      <div class="sheet">
        <header class="top">
          <span class="mark">{PAGE.name}</span>
          {bench && <span class="where">{state.format.value.dayAndClock(state.nowMs.value)}</span>}
        </header>
        <main>
          <AnswerBlock state={state} />
          {bench?.historyTrouble && <p class="trouble">{HISTORY.writeTrouble(bench.historyTrouble)}</p>}
          {stations.length > 0 && (
            <>
              <PairChoice state={state} />
              <BenchPlate state={state} entry={<EntryForm state={state} post={post} />} />
              <WhyBlock state={state} />
              <StationsTable state={state} />
            </>
          )}
          {bench && stations.length === 0 && <FirstSteps />}
          <SourcesList state={state} />
        </main>
        <footer class="foot">
          <p>
            {state.spool.value && (
              <>
                {PAGE.footSpool}
                <br />
              </>
            )}
            {PAGE.foot}
            <br />
            {PAGE.safety}
          </p>
          {bench && <p>{PAGE.version(bench.version)}</p>}
        </footer>
      </div>
    </>
  );
}

/** Dashed, like everything that is not real; on every screen, and it stays in sight. */
function SimulatedStrip({ state }: { state: BenchState }) {
  const simulated = state.bench.value?.simulated;
  if (!simulated) return null;
  return (
    <aside class="sim" aria-label={SIMULATED.label}>
      <div>
        <b>{SIMULATED.word}</b>
        <span>{SIMULATED.tell(simulated.scenario, String(simulated.speed))}</span>
      </div>
    </aside>
  );
}
