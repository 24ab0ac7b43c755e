/** History, in buckets for a chart or as a table of all that is kept. */
import { Readable } from 'node:stream';
import { Type } from 'typebox';
import { utcText } from '../utc.ts';
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { csvHead, csvRows } from './csv.ts';
import { RequestRefused } from './errors.ts';
import { type ExportQuery, ExportQuerySchema, HistoryAnswerSchema, HistoryQuerySchema } from './messages.ts';
import type { HistoryReader, HistorySpan } from './views.ts';

/** Each key costs a read of up to 2,000 buckets. */
const MAX_KEYS = 16;
const USUAL_BUCKETS = 2000;
/** Each holds one page of rows; a third one waits for its turn. */
const MAX_EXPORTS = 2;
/** A reading's key, a derived one, or an estimate's: `<spool>.<figure>`. */
const KEY_PATTERN = /^[A-Za-z0-9_-][A-Za-z0-9_.:-]{0,63}!?$/;

export function registerHistory(app: ApiApp, history: HistoryReader): void {
  let exports = 0;

  app.get(
    '/api/history',
    {
      schema: {
        summary: 'Least, mean and greatest of a station’s keys over a span, in at most 2,000 buckets',
        querystring: HistoryQuerySchema,
        response: { 200: HistoryAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    ({ query }) => history.read({ ...spanOf(query), buckets: query.buckets ?? USUAL_BUCKETS }),
  );

  app.get(
    '/api/history.csv',
    {
      schema: {
        summary: 'The finest that is kept of a span, as a table',
        description:
          'Columns: at (UTC), span_s (how long the row stands for; 0 is a reading itself), then min, mean and max of each key.',
        querystring: ExportQuerySchema,
        response: { 200: { content: { 'text/csv': { schema: Type.String() } } }, ...ERROR_RESPONSES },
      },
    },
    ({ query }, reply) => {
      const span = spanOf(query);
      if (exports >= MAX_EXPORTS)
        throw new RequestRefused(
          503,
          'exports-busy',
          'Two exports are running already; try again in a while.',
        );
      exports++;
      const table = Readable.from(tableText(history, span));
      // However it ends: read to the end, failed, or the asker gone.
      table.once('close', () => {
        exports--;
      });
      const name = `lowdew-${span.station}-${utcText(span.fromMs).replace(/[-:]|\.\d+/g, '')}.csv`;
      reply
        .type('text/csv; charset=utf-8; header=present')
        .header('content-disposition', `attachment; filename="${name}"`)
        // The schema speaks of the text that the stream makes.
        .send(table as never);
    },
  );
}

async function* tableText(history: HistoryReader, span: HistorySpan): AsyncGenerator<string> {
  yield csvHead(span.keys);
  for (const page of history.pages(span)) {
    yield csvRows(page, span.keys);
    // Others get their turn between pages, however fast this one is read.
    await new Promise(setImmediate);
  }
}

function spanOf({ station, keys, fromMs, toMs }: ExportQuery): HistorySpan {
  const names = [...new Set(keys.split(','))];
  const bad = names.find((name) => !KEY_PATTERN.test(name));
  if (bad !== undefined) throw new RequestRefused(400, 'bad-request', `"${bad}" is not a key.`);
  if (names.length > MAX_KEYS)
    throw new RequestRefused(400, 'bad-request', `At most ${MAX_KEYS} keys at a time.`);
  if (!(fromMs < toMs)) throw new RequestRefused(400, 'bad-request', 'fromMs must be before toMs.');
  if (!/^[A-Za-z0-9_-]{1,16}$/.test(station))
    throw new RequestRefused(400, 'bad-request', 'station is not the id of a station.');
  return { station, keys: names, fromMs, toMs };
}
