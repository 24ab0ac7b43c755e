/** Every way a request can fail, as one shape with a stable code. Nothing of the inside is told. */
import { STATUS_CODES } from 'node:http';
import { RequestRefused } from './errors.ts';
import { SECURITY_HEADERS } from './headers.ts';
import type { ErrorAnswer } from './messages.ts';

export interface ErrorReply {
  readonly status: number;
  readonly answer: ErrorAnswer;
}

const reply = (status: number, code: string, message: string): ErrorReply => ({
  status,
  answer: { error: { code, message } },
});

/** What fastify itself refuses, by its own codes. */
const BY_FRAMEWORK_CODE: Readonly<Record<string, ErrorReply>> = {
  FST_ERR_CTP_BODY_TOO_LARGE: reply(413, 'body-too-large', 'The body of the request is too large.'),
  FST_ERR_CTP_INVALID_MEDIA_TYPE: reply(415, 'media-type', 'Send application/json.'),
  FST_ERR_CTP_EMPTY_JSON_BODY: reply(400, 'bad-json', 'The body is empty.'),
  FST_ERR_CTP_INVALID_JSON_BODY: reply(400, 'bad-json', 'The body is not JSON.'),
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: reply(
    400,
    'bad-request',
    'The body is not as long as it was said to be.',
  ),
  FST_ERR_BAD_URL: reply(400, 'bad-request', 'The address is malformed.'),
};

/** Codes of the store for a disk that will not have it; what a person entered is then told to be entered again. */
const NOT_KEPT_CODES: ReadonlySet<unknown> = new Set(['disk-full', 'read-only', 'io-failed', 'busy']);

interface Thrown {
  readonly code?: unknown;
  readonly statusCode?: unknown;
  readonly validation?: readonly { readonly instancePath?: string; readonly message?: string }[];
  readonly validationContext?: string;
}

export function answerFor(error: unknown): ErrorReply {
  if (error instanceof RequestRefused) {
    const { status, answer } = reply(error.status, error.code, error.message);
    return error.mistakes === null
      ? { status, answer }
      : { status, answer: { error: { ...answer.error, mistakes: [...error.mistakes] } } };
  }
  const { code, statusCode, validation, validationContext } = (error ?? {}) as Thrown;
  if (validation) {
    const [first] = validation;
    const field = (first?.instancePath ?? '').replace(/^\//, '').replaceAll('/', '.');
    const where = [validationContext === 'body' ? 'body' : '', field].filter(Boolean).join('.');
    return reply(
      400,
      'bad-request',
      `${where === '' ? 'The request' : where} ${first?.message ?? 'is not valid'}.`,
    );
  }
  if (typeof code === 'string' && BY_FRAMEWORK_CODE[code]) return BY_FRAMEWORK_CODE[code];
  if (NOT_KEPT_CODES.has(code))
    return reply(
      507,
      'not-kept',
      'It could not be written to the disk, so it was not taken. Make room, or make the data folder writable, and try again.',
    );
  if (error instanceof SyntaxError && statusCode === 400)
    return reply(400, 'bad-json', 'The body is not JSON.');
  if (typeof statusCode === 'number' && statusCode >= 400 && statusCode < 500)
    return reply(statusCode, 'bad-request', STATUS_CODES[statusCode] ?? 'The request is refused.');
  return reply(500, 'internal', 'Something went wrong in lowdew; its log says what.');
}

/** For a connection that has no reply object yet: an upgrade refused, or bytes that are no request. */
export function rawAnswer({ status, code, message }: RequestRefused): string {
  const body = JSON.stringify({ error: { code, message } } satisfies ErrorAnswer);
  const headers = {
    ...SECURITY_HEADERS,
    'content-type': 'application/json; charset=utf-8',
    'content-length': String(Buffer.byteLength(body)),
    connection: 'close',
  };
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}`);
  return `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}\r\n${lines.join('\r\n')}\r\n\r\n${body}`;
}
