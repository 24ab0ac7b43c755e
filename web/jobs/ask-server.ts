/** Asks the server for something; its own sentence where it refuses. */
import { refusalOf } from '../entries.ts';
import { ENTRY } from '../words/spool.ts';

export type Answered =
  | { readonly ok: true; readonly body: unknown }
  | { readonly ok: false; readonly sentence: string };
/** Rejects only where it was called off. */
export type AskServer = (path: string, calledOff: AbortSignal) => Promise<Answered>;

export const askServer: AskServer = async (path, calledOff) => {
  try {
    const answer = await fetch(path, { signal: calledOff, headers: { accept: 'application/json' } });
    const body: unknown = await answer.json().catch(() => null);
    return answer.ok ? { ok: true, body } : { ok: false, sentence: refusalOf(answer.status, body) };
  } catch (trouble) {
    if (calledOff.aborted) throw trouble;
    return { ok: false, sentence: ENTRY.noAnswer };
  }
};
