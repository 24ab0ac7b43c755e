/** Reads a capture row by row, however large, holding one row in memory. */
import { createReadStream } from 'node:fs';
import { MAX_READ_ROW_CHARS, type ParsedCaptureRow, parseCaptureRow } from './capture-format.ts';

/** Yields every row, refused ones too; throws what the file system throws. A last row without an ending is a row. */
export async function* readCapture(path: string): AsyncGenerator<ParsedCaptureRow> {
  let held = '';
  let overlong = false;
  const ended = (row: string): ParsedCaptureRow => {
    const parsed: ParsedCaptureRow = overlong
      ? { ok: false, reason: 'too-long', detail: `a row of more than ${MAX_READ_ROW_CHARS} characters` }
      : parseCaptureRow(row);
    overlong = false;
    return parsed;
  };
  for await (const chunk of createReadStream(path, 'utf8')) {
    const rows = (held + chunk).split('\n');
    held = rows.pop() ?? '';
    for (const row of rows) yield ended(row);
    if (held.length > MAX_READ_ROW_CHARS) {
      overlong = true;
      held = '';
    }
  }
  if (held !== '' || overlong) yield ended(held);
}
