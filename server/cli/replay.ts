/** `lowdew replay`: a capture file through the engine in virtual time, records to standard output. */
import { createReadStream } from 'node:fs';
import type { BenchConfig } from '../config/bench.ts';
import { createEngine } from '../engine.ts';
import { createSourceLines } from '../intake/source-lines.ts';
import { createReplay, type RecordKind, type ReplayRecord } from '../replay.ts';
import { parseCaptureRow } from '../storage/capture-format.ts';
import { describeRecord } from './describe-record.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface ReplayCommand {
  readonly capture: string;
  readonly bench: BenchConfig;
  readonly everyS: number;
  readonly kinds: ReadonlySet<RecordKind>;
  readonly format: 'ndjson' | 'text';
}

/** A file without line ends must not fill the memory; rows of a capture are far shorter. */
const LONGEST_ROW_CHARS = 65_536;

/** Calls for each row of a file as it is read. Rows past the longest are cut there: no capture has such. */
async function eachRow(path: string, call: (row: string) => void): Promise<void> {
  let rest = '';
  for await (const chunk of createReadStream(path, { encoding: 'utf8', highWaterMark: 1 << 18 })) {
    const text: string = rest + chunk;
    let start = 0;
    for (let end = text.indexOf('\n'); end >= 0; end = text.indexOf('\n', start)) {
      call(text.slice(start, end));
      start = end + 1;
    }
    rest = text.slice(start);
    if (rest.length > LONGEST_ROW_CHARS) rest = rest.slice(0, LONGEST_ROW_CHARS);
  }
  if (rest !== '') call(rest);
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
  let read = 0;
  let understood = 0;
  try {
    await eachRow(command.capture, (text) => {
      if (text === '' || text === '\r') return;
      const row = parseCaptureRow(text);
      read++;
      if (row.ok) understood++;
      replay.row(row);
    });
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === undefined) throw error;
    terminal.err(
      code === 'ENOENT'
        ? `The capture ${command.capture} does not exist.`
        : `The capture ${command.capture} cannot be read (${code}).`,
    );
    return EXIT.unreadableCapture;
  }
  if (read > 0 && understood === 0) {
    terminal.err(
      `${command.capture} is not a capture: none of its ${read} rows is time, tab, source, tab, line.`,
    );
    return EXIT.unreadableCapture;
  }
  replay.end();
  return EXIT.fine;
}
