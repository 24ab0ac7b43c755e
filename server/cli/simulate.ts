/** `lowdew simulate`: boards of an invented story, speaking on real virtual ports, over TCP, or to standard output. */
import { simulatedBench } from '../../simulators/bench.ts';
import { benchFileText } from '../../simulators/bench-file.ts';
import { playBench } from '../../simulators/play.ts';
import { PtyError } from '../../simulators/pty.ts';
import type { Scenario } from '../../simulators/scenario.ts';
import { scenarioNamed, scenarios } from '../../simulators/scenarios.ts';
import { systemClock } from '../clock.ts';
import { type BoardPort, openBoardPort, type PortKind } from './board-ports.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface SimulateCommand {
  readonly scenario: string | undefined;
  readonly port: PortKind | 'stdout';
  readonly speed: number;
  /** Settles when the person has seen enough. */
  readonly stopped: Promise<void>;
}

/** The scenario asked for, or null after saying which there are. */
export function chooseScenario(name: string | undefined, terminal: Terminal): Scenario | null {
  if (name === undefined) return scenarios()[0] ?? null;
  const found = scenarioNamed(name);
  if (found) return found;
  terminal.err(`There is no scenario "${name}". There are:`);
  for (const scenario of scenarios()) terminal.err(`  ${scenario.name}  ${scenario.title}`);
  return null;
}

export async function simulateCommand(command: SimulateCommand, terminal: Terminal): Promise<ExitCode> {
  const scenario = chooseScenario(command.scenario, terminal);
  if (!scenario) return EXIT.badBenchOrOption;
  const bench = simulatedBench(scenario);
  const ports = new Map<string, BoardPort>();
  try {
    if (command.port !== 'stdout')
      for (const { board } of bench.boards)
        ports.set(board, await openBoardPort(board, command.port, (bytes) => bench.receive(board, bytes)));
  } catch (error) {
    if (!(error instanceof PtyError)) throw error;
    terminal.err(`${error.message} Or use --port tcp.`);
    return EXIT.badBenchOrOption;
  }
  terminal.err(`SIMULATED: ${scenario.title}, at ${command.speed} times speed. Stop with Ctrl-C.`);
  if (ports.size > 0) {
    terminal.err('A bench file that reads it:');
    terminal.err('');
    terminal.err(
      benchFileText(scenario, (board) => {
        const source = ports.get(board)?.source;
        return source?.way === 'tcp'
          ? `${source.host}:${source.port}`
          : source?.way === 'port'
            ? source.path
            : '';
      }),
    );
  }
  const stop = playBench(bench, systemClock(command.speed), {
    write(board, bytes) {
      if (command.port === 'stdout') process.stdout.write(bytes, 'latin1');
      else ports.get(board)?.write(bytes);
    },
  });
  await command.stopped;
  stop();
  await Promise.all([...ports.values()].map((port) => port.close()));
  return EXIT.fine;
}
