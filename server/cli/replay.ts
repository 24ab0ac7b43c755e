/** `lowdew replay`: a capture file through the engine in virtual time, records to standard output. */
import type { BenchConfig } from '../config/bench.ts';
import { createEngine } from '../engine.ts';
import { createSourceLines } from '../intake/source-lines.ts';
import { createReplay, type RecordKind, type ReplayRecord } from '../replay.ts';
import { feedCapture } from './capture-rows.ts';
import { describeRecord } from './describe-record.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface ReplayCommand {
  readonly capture: string;
  readonly bench: BenchConfig;
  readonly everyS: number;
  readonly kinds: ReadonlySet<RecordKind>;
  readonly format: 'ndjson' | 'text';
}

export async function replayCommand(command: ReplayCommand, terminal: Terminal): Promise<ExitCode> {
  const { bench } = command;
  const emit = (record: ReplayRecord): void => {
    terminal.out(command.format === 'ndjson' ? JSON.stringify(record) : describeRecord(record));
  };
  const replay = createReplay(
    createEngine(bench),
    createSourceLines(bench.patterns),
    bench.stations.map(({ id }) => id),
    { everyS: command.everyS, kinds: command.kinds },
    emit,
  );
  const failed = await feedCapture(command.capture, replay, terminal);
  if (failed !== null) return failed;
  replay.end();
  return EXIT.fine;
}
