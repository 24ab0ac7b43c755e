/**
 * Finds the line of a key in a TOML file as people write bench files: `[table]` and `[[list]]` headers with plain keys
 * under them. The parser says only what the file means, not where; a mistake without its line is half a help.
 */
export interface Place {
  readonly table: string;
  /** Which of the `[[table]]`s, from 0; 0 for a `[table]`. */
  readonly index: number;
  readonly key: string | null;
}

/** 1-based line of the key, else of its table's header, else null (inline tables and the like). */
export function locate(file: string, place: Place): number | null {
  let index = -1;
  let inside = false;
  let header: number | null = null;
  for (const [i, line] of file.split(/\r?\n/).entries()) {
    const head = /^\s*\[{1,2}\s*([A-Za-z0-9_.-]+)\s*\]{1,2}/.exec(line);
    if (head) {
      if (inside) break;
      if (head[1] === place.table && ++index === place.index) {
        inside = true;
        header = i + 1;
      }
      continue;
    }
    const key = /^\s*"?([A-Za-z0-9_-]+)"?\s*[.=]/.exec(line)?.[1];
    if (inside && place.key !== null && key === place.key) return i + 1;
  }
  return header;
}
