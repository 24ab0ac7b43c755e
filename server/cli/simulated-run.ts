/** The bench that is shown when there is none: boards of an invented story on real virtual ports. */
import { simulatedBench } from '../../simulators/bench.ts';
import { benchFileText } from '../../simulators/bench-file.ts';
import { playBench, recordRows } from '../../simulators/play.ts';
import type { Scenario } from '../../simulators/scenario.ts';
import type { Clock } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import { readBench } from '../config/read-bench.ts';
import { MATERIAL_KEYS } from '../physics/materials.ts';
import { THINGS } from '../physics/things.ts';
import type { UserEntry } from '../records.ts';
import { openBoardPort } from './board-ports.ts';

export interface SimulatedRun {
  readonly bench: BenchConfig;
  /** Rows of a capture of the story's first hours, as if the program had been running. */
  past(hours: number, startMs: number): readonly string[];
  /** Lets the boards speak; what the story's person enters goes to `enter`. */
  play(clock: Clock, enter: (entry: UserEntry) => void): void;
  close(): Promise<void>;
}

export async function openSimulatedRun(scenario: Scenario): Promise<SimulatedRun> {
  const simulated = simulatedBench(scenario);
  const ports = new Map(
    await Promise.all(
      simulated.boards.map(
        async ({ board }) =>
          [board, await openBoardPort(board, 'any', (bytes) => simulated.receive(board, bytes))] as const,
      ),
    ),
  );
  const reading = readBench(
    benchFileText(scenario, () => 'tty'),
    null,
    {
      materials: MATERIAL_KEYS,
      things: Object.keys(THINGS),
    },
  );
  if (!reading.ok) throw new Error(`the scenario's bench is broken: ${JSON.stringify(reading.mistakes)}`);
  let stop = (): void => {};
  return {
    bench: { ...reading.bench, sources: [...ports.values()].map(({ source }) => source) },
    past: (hours, startMs) => recordRows(simulated, hours, startMs),
    play(clock, enter) {
      stop = playBench(simulated, clock, {
        write: (board, bytes) => ports.get(board)?.write(bytes),
        enter: (entry) => enter({ ...entry }),
      });
    },
    async close() {
      stop();
      await Promise.all([...ports.values()].map((port) => port.close()));
    },
  };
}
