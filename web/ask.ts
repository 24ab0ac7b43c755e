/** Asking the server and telling it, for screens; a refusal comes as the sentence that it gave. */
import { refusalOf } from './entries.ts';
import { ENTRY } from './words/spool.ts';

export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly sentence: string };

/** One that is called off comes back as a refusal that nobody reads: look at the signal first. */
export const askJson = <T>(path: string, calledOff?: AbortSignal): Promise<Answer<T>> =>
  send<T>(path, { headers: ACCEPT, ...(calledOff ? { signal: calledOff } : {}) });

export const postJson = <T>(path: string, body: object): Promise<Answer<T>> =>
  send<T>(path, {
    method: 'POST',
    headers: { ...ACCEPT, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

/** Puts a whole in place of the one before. */
export const putJson = <T>(path: string, body: object): Promise<Answer<T>> =>
  send<T>(path, {
    method: 'PUT',
    headers: { ...ACCEPT, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

const ACCEPT = { accept: 'application/json' };

async function send<T>(path: string, request: RequestInit): Promise<Answer<T>> {
  try {
    const answer = await fetch(path, request);
    const body: unknown = await answer.json().catch(() => null);
    return answer.ok
      ? { ok: true, value: body as T }
      : { ok: false, sentence: refusalOf(answer.status, body) };
  } catch {
    return { ok: false, sentence: ENTRY.noAnswer };
  }
}
