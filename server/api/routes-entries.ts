/** What a person enters: a weigh-in, a lid, a spool put in, taken out or bagged. */
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import { type Entry, EntryAnswerSchema, EntrySchema } from './messages.ts';

export type EntryOutcome =
  | { readonly ok: true; readonly spools: readonly string[] }
  | { readonly ok: false; readonly reason: string; readonly detail: string };

/** Tells the engine and writes it down before it returns; a refusal says what to do. */
export type EntryTaker = (entry: Entry) => EntryOutcome;

export function registerEntries(app: ApiApp, take: EntryTaker): void {
  app.post(
    '/api/entries',
    {
      schema: {
        summary: 'What a person did: a weigh-in, a lid, a spool put in, taken out or bagged',
        body: EntrySchema,
        response: { 200: EntryAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    (request) => {
      const outcome = take(request.body);
      if (!outcome.ok) throw new RequestRefused(422, outcome.reason, outcome.detail);
      return { spools: [...outcome.spools] };
    },
  );
}
