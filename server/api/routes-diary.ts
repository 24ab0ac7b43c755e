/** What was entered of a spool: weigh-ins, put in, taken out, bagged, lids; and what of it was taken back. */
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import { type DiaryEntry, DiaryQuerySchema, DiarySchema } from './messages-diary.ts';

/** An entry as the store keeps it. */
export interface KeptEntry {
  readonly number: number;
  readonly atMs: number;
  readonly kind: string;
  readonly value: unknown;
}

export interface DiaryView {
  /** Entries after a number, oldest first, a page at a time; an empty page ends it. */
  entries(after: number): readonly KeptEntry[];
  /** Where a spool is; null for one that is not there. */
  stationOf(spool: string): string | null;
}

/** A page of a diary that a person reads; older ones are in the captures. */
const MOST_SHOWN = 200;

export function registerDiary(app: ApiApp, diary: DiaryView): void {
  app.get(
    '/api/diary',
    {
      schema: {
        summary: 'What was entered of a spool, oldest first',
        querystring: DiaryQuerySchema,
        response: { 200: DiarySchema, ...ERROR_RESPONSES },
      },
    },
    ({ query }) => {
      const station = diary.stationOf(query.spool);
      if (station === null)
        throw new RequestRefused(404, 'unknown-name', `No spool is called "${query.spool}".`);
      return { entries: diaryOf(diary, query.spool, station) };
    },
  );
}

function diaryOf(diary: DiaryView, spool: string, station: string): DiaryEntry[] {
  const shown: DiaryEntry[] = [];
  /** Places of the weigh-ins that still count. */
  const counting: number[] = [];
  let after = 0;
  for (;;) {
    const page = diary.entries(after);
    for (const { number, atMs, kind, value } of page) {
      after = number;
      const entry = (value ?? {}) as Readonly<Record<string, unknown>>;
      const mine = entry['spool'] === spool || (kind === 'lid' && entry['station'] === station);
      if (!mine) continue;
      if (kind === 'weigh-in') counting.push(shown.length);
      if (kind === 'weigh-in-undone') {
        const place = counting.pop();
        if (place !== undefined) shown[place] = { ...shown[place]!, undone: true };
      }
      const { massG, resolutionG } = entry;
      shown.push({
        number,
        atMs,
        kind,
        ...(typeof massG === 'number' ? { massG } : {}),
        ...(typeof resolutionG === 'number' ? { resolutionG } : {}),
        undone: false,
      });
    }
    if (page.length === 0) break;
  }
  return shown.slice(-MOST_SHOWN);
}
