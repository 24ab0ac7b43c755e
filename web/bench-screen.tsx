/** The Bench: the answer, its evidence, and where it comes from. */
import { AlertsPart } from './alerts/alerts-part.tsx';
import { AnswerBlock } from './answer-block.tsx';
import { BenchPlate } from './bench-plate.tsx';
import { EntryForm } from './entry-form.tsx';
import { PairChoice } from './pair-choice.tsx';
import { later } from './shell/later.tsx';
import type { ScreenProps } from './shell/screen-props.ts';
import { StationsTable } from './stations-table.tsx';
import { HISTORY, REPORT_LINK } from './words/bench.ts';

const WhyBlock = later(async () => (await import('./bench-later.ts')).WhyBlock);
const SourcesList = later(async () => (await import('./bench-later.ts')).SourcesList);
const FirstSteps = later(async () => (await import('./bench-later.ts')).FirstSteps);

export function BenchScreen({ state, post }: ScreenProps) {
  const bench = state.bench.value;
  const stations = bench?.stations ?? [];
  return (
    <>
      <AnswerBlock state={state} />
      {bench?.historyTrouble && <p class="trouble">{HISTORY.writeTrouble(bench.historyTrouble)}</p>}
      {stations.length > 0 && (
        <>
          <PairChoice state={state} />
          <BenchPlate state={state} entry={<EntryForm state={state} post={post} />} />
          <AlertsPart state={state} />
          <WhyBlock state={state} />
          {state.spool.value?.drying && (
            <p class="soft">
              <a href={`/report?spool=${encodeURIComponent(state.spool.value.id)}`}>{REPORT_LINK}</a>
            </p>
          )}
          <StationsTable state={state} />
        </>
      )}
      {bench && stations.length === 0 && <FirstSteps />}
      <SourcesList state={state} />
    </>
  );
}
