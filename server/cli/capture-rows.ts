/** A capture file row by row into a replay; the caller decides what is made of it. */
import { createReadStream } from 'node:fs';
import type { Replay } from '../replay.ts';
import { parseCaptureRow } from '../storage/capture-format.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

/** A file without line ends must not fill the memory; rows of a capture are far shorter. */
const LONGEST_ROW_CHARS = 65_536;

/** Says what is wrong where the file is no capture, or cannot be read; null: all its rows are in. */
export async function feedCapture(
  path: string,
  replay: Pick<Replay, 'row'>,
  terminal: Terminal,
): Promise<ExitCode | null> {
  let read = 0;
  let understood = 0;
  try {
    await eachRow(path, (text) => {
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
        ? `The capture ${path} does not exist.`
        : `The capture ${path} cannot be read (${code}).`,
    );
    return EXIT.unreadableCapture;
  }
  if (read > 0 && understood === 0) {
    terminal.err(`${path} is not a capture: none of its ${read} rows is time, tab, source, tab, line.`);
    return EXIT.unreadableCapture;
  }
  return null;
}

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
