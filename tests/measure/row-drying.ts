/** A full drying update at twelve hours of run time: refit, eighty draws through past and forecast, the answer. */
import { REFIT_S } from '../../server/estimators/drying/tracker.ts';
import { hearRun, START_MS } from './drying-history.ts';
import { type Measured, median } from './rounds.ts';

const AIM_MS = 20;
const RUN_S = 12 * 3600;
const REFITS = 15;

export async function measureDrying(): Promise<readonly Measured[]> {
  const runs = [
    { name: 'drying update at 12 h: box and room air', run: hearRun(false), ms: [] as number[] },
    { name: 'drying update at 12 h: with a scale', run: hearRun(true), ms: [] as number[] },
  ];
  // All refits of the twelve hours happen on the way there: code and state are as warm as in a long run.
  for (const { run } of runs) run.hearUntil(RUN_S + 900);
  for (let refit = 0; refit < REFITS; refit++)
    for (const { run, ms } of runs) {
      const state = run.tracker.save().run;
      if (!state) throw new Error('the run was not noticed');
      const dueS = (Math.floor(state.history.openedS / REFIT_S + 1e-9) + 1) * REFIT_S;
      const dueMs = state.startMs + 1000 * dueS;
      run.hearUntil((dueMs - START_MS) / 1000);
      const before = process.cpuUsage();
      const estimate = run.tracker.advance(dueMs + 1);
      const { user, system } = process.cpuUsage(before);
      if (estimate.fittedMs !== dueMs) throw new Error('no refit fell in the time measured');
      ms.push((user + system) / 1000);
    }
  return runs.map(({ name, ms }) => {
    const value = median(ms);
    return {
      name,
      value,
      unit: 'ms',
      // A neighbour on the same core can make all of them half as long again: the quickest one says what was possible.
      yardstick: `none: processor time; quickest of ${ms.length}: ${Math.min(...ms).toPrecision(3)} ms`,
      ratio: null,
      aim: `≤ ${AIM_MS} ms`,
      met: value <= AIM_MS,
    };
  });
}
