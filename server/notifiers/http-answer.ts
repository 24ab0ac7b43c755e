/** What the status of an HTTP answer means for a message (RFC 9110): pure. */
import { type Answer, fault, later, taken } from './answer.ts';

/** Of a refusal, these are about the message and not about the receiver as a whole. */
const ABOUT_CONTENT = new Set([400, 413, 422]);

const REFUSAL_WORDS: Readonly<Record<number, string>> = {
  400: 'It does not accept this message. Does it expect another form of body?',
  401: 'It does not accept the signature, or asks for a login that a webhook has not.',
  403: 'It forbids it. Is the secret the right one?',
  404: 'There is nothing at this address: is it spelt right?',
  405: 'It takes no POST at this address: is it spelt right?',
  410: 'The address is gone for good: get a new one from the receiver.',
  413: 'The message is too large for it.',
  422: 'It does not accept this message. Does it expect another form of body?',
};

export function httpAnswer(
  status: number,
  headers: { readonly 'retry-after'?: string | undefined },
  nowMs: number,
): Answer {
  if (status >= 200 && status < 300) return taken(`It took the message (${status}).`);
  const askedMs = retryAfterMs(headers['retry-after'], nowMs);
  if (status === 429)
    return later('too-many', 'It asks for fewer messages (429); it is left alone for a while.', askedMs);
  // 408: it did not get the whole request in time; 425: it will not yet. Both ask to come again.
  if (status >= 500 || status === 408 || status === 425)
    return later(
      // 503 with a time is a request to stay away, as 429 is.
      status === 503 && askedMs !== null ? 'too-many' : 'receiver-failed',
      `It has a trouble of its own (${status}).`,
      askedMs,
    );
  if (status >= 300 && status < 400)
    return fault(
      'redirected',
      `It points to another address (${status}). Messages are not sent on to where they were not meant to go: write the new address into the bench file.`,
    );
  return fault(
    'refused',
    `It refuses (${status}). ${REFUSAL_WORDS[status] ?? 'Its own log may say why.'}`,
    ABOUT_CONTENT.has(status) ? 'content' : 'receiver',
  );
}

/** Days and months as RFC 9110 §5.6.7 writes them. */
const IMF_DATE = /^[A-Z][a-z]{2}, \d{2} [A-Z][a-z]{2} \d{4} \d{2}:\d{2}:\d{2} GMT$/;

/** Retry-After (RFC 9110 §10.2.3), seconds or a date, as a wait from now; null where there is none that can be read. */
export function retryAfterMs(header: string | undefined, nowMs: number): number | null {
  const text = header?.trim() ?? '';
  if (/^\d{1,9}$/.test(text)) return Number(text) * 1000;
  if (!IMF_DATE.test(text)) return null;
  const atMs = Date.parse(text);
  return Number.isNaN(atMs) ? null : Math.max(0, atMs - nowMs);
}
