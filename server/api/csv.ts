/** History as a table (RFC 4180): one row an instant or bucket, three columns a key. Pure. */
import { utcText } from '../utc.ts';
import type { HistoryAnswer } from './messages.ts';

export function csvHead(keys: readonly string[]): string {
  const columns = keys.flatMap((key) => [`${key}.min`, `${key}.mean`, `${key}.max`]);
  return `${['at', 'span_s', ...columns].join(',')}\r\n`;
}

/** Rows of one page. `span_s` is how long a row stands for; 0 for a reading itself. Numbers are not rounded. */
export function csvRows(page: HistoryAnswer, keys: readonly string[]): string {
  const times = new Set<number>();
  for (const key of keys) for (const atMs of page.series[key]?.atMs ?? []) times.add(atMs);
  const next = new Map(keys.map((key) => [key, 0]));
  const spanS = page.bucketMs <= 1 ? 0 : page.bucketMs / 1000;
  let text = '';
  for (const atMs of [...times].sort((a, b) => a - b)) {
    const cells: (string | number | undefined)[] = [utcText(atMs), spanS];
    for (const key of keys) {
      const columns = page.series[key];
      const at = next.get(key) ?? 0;
      const here = columns?.atMs[at] === atMs;
      cells.push(...(here && columns ? [columns.min[at], columns.mean[at], columns.max[at]] : ['', '', '']));
      if (here) next.set(key, at + 1);
    }
    text += `${cells.join(',')}\r\n`;
  }
  return text;
}
