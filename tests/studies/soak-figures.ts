/** Rows of a soak study to its figures, each beside its target. */
import { median, sayMedian, sayShare } from './proportion.ts';
import { AFTER_MINUTES, type Opening, type SoakRow } from './soak-score.ts';

export interface SoakFigures {
  readonly runs: number;
  readonly calls: number;
  readonly premature: number;
  readonly early: number;
  readonly delaysMin: readonly number[];
  readonly missed: number;
  readonly cooling: number;
  readonly offRuns: number;
  readonly fanRuns: number;
  readonly fanRearmed: number;
  readonly steadyFar: number;
  readonly steadyChecks: number;
  readonly finalErrors: readonly (readonly number[])[];
  readonly finalCovered: readonly (readonly boolean[])[];
  readonly etaErrors: readonly (readonly number[])[];
  readonly etaCovered: readonly (readonly boolean[])[];
  readonly openings: readonly Opening[];
}

const there = <T>(values: readonly (T | null)[]): T[] => values.filter((value) => value !== null);

export function soakFigures(rows: readonly SoakRow[]): SoakFigures {
  const calls = rows.flatMap(({ callsOffC }) => callsOffC);
  const judged = rows.filter(({ trulyS }) => trulyS !== null);
  const fans = rows.filter(({ kind, trulyS }) => kind === 'fan' && trulyS !== null);
  const at = <T>(pick: (row: SoakRow) => readonly (T | null)[]): T[][] =>
    AFTER_MINUTES.map((_, k) => there(rows.map((row) => pick(row)[k]!)));
  return {
    runs: rows.length,
    calls: calls.length,
    premature: calls.filter((offC) => offC > 1.5).length,
    early: calls.filter((offC) => offC > 1).length,
    delaysMin: there(
      judged.map(({ trulyS, calledS }) => (calledS === null ? null : (calledS - trulyS!) / 60)),
    ),
    missed: judged.filter(({ calledS }) => calledS === null).length,
    cooling: rows.reduce((sum, { callsCooling }) => sum + callsCooling, 0),
    offRuns: rows.filter(({ kind }) => kind === 'off').length,
    fanRuns: fans.length,
    fanRearmed: fans.filter(({ calledS }) => calledS !== null).length,
    steadyFar: rows.reduce((sum, row) => sum + row.steadyFar, 0),
    steadyChecks: rows.reduce((sum, row) => sum + row.steadyChecks, 0),
    finalErrors: at((row) => row.finalErrorC),
    finalCovered: at((row) => row.finalCovered),
    etaErrors: at((row) => row.etaError),
    etaCovered: at((row) => row.etaCovered),
    openings: there(rows.map(({ opening }) => opening)),
  };
}

const share = (values: readonly boolean[]): number =>
  values.length === 0 ? Number.NaN : values.filter(Boolean).length / values.length;

/** What of the targets is missed; `slack` widens them for small studies. Empty: all met. */
export function soakFaults(figures: SoakFigures, slack = 0): string[] {
  const faults: string[] = [];
  const { calls, premature, early, delaysMin, cooling, finalErrors, finalCovered } = figures;
  if (premature > slack * calls) faults.push(`${premature} calls with the air more than 1.5 °C from its end`);
  if (early > (0.05 + slack) * calls) faults.push(`${early} of ${calls} calls more than 1 °C early`);
  if (!(median(delaysMin) <= 25 + 100 * slack)) faults.push(`median delay ${median(delaysMin)} min`);
  if (cooling > 0) faults.push(`${cooling} calls in the cooling tail`);
  if (figures.fanRearmed < figures.fanRuns) faults.push('a fan change did not re-arm');
  if (!(median(finalErrors[1]!) <= 1.4 + slack))
    faults.push(`end wrong by ${median(finalErrors[1]!)} °C at 60 min`);
  const covered = share(finalCovered[1]!);
  if (!(covered >= 0.88 - slack && covered <= 0.99 + slack)) faults.push(`band covers ${covered} at 60 min`);
  return faults;
}

export function soakTable(name: string, figures: SoakFigures): string {
  const lines = [
    `${name}: ${figures.runs} runs, ${figures.calls} calls`,
    `  more than 1.5 °C from the end at the call (target 0): ${sayShare(figures.premature, figures.calls)}`,
    `  more than 1 °C (target 5 % at most): ${sayShare(figures.early, figures.calls)}`,
    `  delay after truly steady, median (target 25 min, stretch 20): ${sayMedian(figures.delaysMin, 0, 'min')}, never called ${figures.missed}`,
    `  fan change re-armed (target all): ${sayShare(figures.fanRearmed, figures.fanRuns)}`,
    `  calls in the cooling tail (target 0): ${figures.cooling} in ${figures.offRuns} runs`,
    `  checks that stood steady with the air more than 1.5 °C away: ${sayShare(figures.steadyFar, figures.steadyChecks)}`,
  ];
  AFTER_MINUTES.forEach((minutes, k) => {
    const covered = figures.finalCovered[k]!;
    const etas = figures.etaCovered[k]!;
    if (covered.length === 0) return;
    lines.push(
      `  end at ${minutes} min${minutes === 60 ? ' (targets 1.4 °C, 88 to 99 %)' : ''}: error ${sayMedian(figures.finalErrors[k]!, 2, '°C')}; band covers ${sayShare(covered.filter(Boolean).length, covered.length)}`,
    );
    if (etas.length > 0)
      lines.push(
        `  time of steadiness foretold at ${minutes} min: error ${sayMedian(figures.etaErrors[k]!, 2, 'of the time left')}; band covers ${sayShare(etas.filter(Boolean).length, etas.length)}`,
      );
  });
  const foretold = there(figures.openings.map(({ errorS }) => errorS));
  const held = there(figures.openings.map(({ covered }) => covered));
  const said = there(figures.openings.map(({ saidS }) => saidS));
  if (foretold.length > 0)
    lines.push(
      `  opening foretold 20 min after the heat went off: error ${sayMedian(
        foretold.map((s) => Math.abs(s) / 60),
        0,
        'min',
      )}; band covers ${sayShare(held.filter(Boolean).length, held.length)}`,
      `  said "open" after the true time: ${sayMedian(
        said.map((s) => s / 60),
        0,
        'min',
      )}; more than 10 min before it ${sayShare(said.filter((s) => s < -600).length, said.length)}`,
    );
  return lines.join('\n');
}
