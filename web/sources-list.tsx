import type { SourceState } from '../server/api/messages.ts';
import type { BenchState } from './bench-state.ts';
import { age, count } from './format.ts';
import { SOURCES } from './words/bench.ts';
import { refused, restarted } from './words/ground.ts';

/** Where the lines come from, how many came and how many did not, and what is wrong in a sentence. */
export function SourcesList({ state }: { state: BenchState }) {
  const bench = state.bench.value;
  if (!bench || bench.sources.length + bench.unknownStations.length === 0) return null;
  return (
    <section aria-labelledby="sources">
      <h2 class="head" id="sources">
        {SOURCES.head}
      </h2>
      <ul class="sources">
        {bench.sources.map((source) => (
          <li key={source.id}>
            <span class="from">{source.where}</span>
            <span class="facts">{factsOf(source, state.nowMs.value).join(' · ')}</span>
            {source.trouble !== null && <p class="trouble">{SOURCES.trouble(source.trouble)}</p>}
          </li>
        ))}
        {bench.unknownStations.length > 0 && (
          <li>
            <p class="trouble">{SOURCES.unknown(bench.unknownStations)}</p>
          </li>
        )}
      </ul>
    </section>
  );
}

export function factsOf(source: SourceState, nowMs: number): string[] {
  const sum = (key: 'lost' | 'duplicates' | 'late'): number =>
    source.boards.reduce((total, board) => total + board[key], 0);
  const reasons = Object.entries(source.refused).filter(([, number]) => number > 0);
  const facts = [
    SOURCES.state(source.state),
    source.heardMs === null ? SOURCES.unheard : SOURCES.heard(age(Math.max(0, nowMs - source.heardMs))),
  ];
  if (source.lines > 0) facts.push(SOURCES.lines(source.lines, count(source.lines)));
  if (sum('lost') > 0) facts.push(SOURCES.lost(count(sum('lost'))));
  if (sum('duplicates') > 0) facts.push(SOURCES.duplicates(count(sum('duplicates'))));
  if (sum('late') > 0) facts.push(SOURCES.late(count(sum('late'))));
  const restarts = Object.entries(source.restarts);
  if (restarts.length > 0)
    facts.push(SOURCES.restarts(restarts.map(([cause, number]) => restarted(cause, number, count(number)))));
  if (reasons.length > 0)
    facts.push(SOURCES.refusedList(reasons.map(([reason, number]) => refused(reason, count(number)))));
  return facts;
}
