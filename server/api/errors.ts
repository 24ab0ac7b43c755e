/** Errors of this room: the server cannot be had (ServeError), or one request is refused (RequestRefused). */

/**
 * - `listen-busy`: the port is taken
 * - `listen-denied`: the system does not let this user have the port
 * - `listen-address`: no such address on this machine
 * - `token-needed`: listening beyond this machine asks for a token
 * - `token-file`: the token cannot be kept
 * - `tls-unusable`: certificate and key cannot be used
 * - `page-missing`: the built page is not there
 */
export type ServeCode =
  | 'listen-busy'
  | 'listen-denied'
  | 'listen-address'
  | 'token-needed'
  | 'token-file'
  | 'tls-unusable'
  | 'page-missing';

export class ServeError extends Error {
  readonly code: ServeCode;

  constructor(code: ServeCode, message: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = 'ServeError';
    this.code = code;
  }
}

/** One field of what was asked, and what is wrong with it. */
export interface FieldMistake {
  readonly field: string;
  readonly reason: string;
  readonly detail: string;
}

/** Thrown by a route to answer with an ErrorAnswer; the code is stable, the message is for a person. */
export class RequestRefused extends Error {
  readonly status: number;
  readonly code: string;
  /** Field by field, where there are fields. */
  readonly mistakes: readonly FieldMistake[] | null;

  constructor(
    status: number,
    code: string,
    message: string,
    mistakes: readonly FieldMistake[] | null = null,
  ) {
    super(message);
    this.name = 'RequestRefused';
    this.status = status;
    this.code = code;
    this.mistakes = mistakes;
  }
}

export function listenError(error: unknown, host: string, port: number): unknown {
  const code = (error as NodeJS.ErrnoException | null)?.code;
  const address = host.includes(':') ? `[${host}]:${port}` : `${host}:${port}`;
  const elsewhere = `choose another with --listen, or in the bench file, like listen = "${host.includes(':') ? `[${host}]` : host}:${port === 65_535 ? 7323 : port + 1}" under [server]`;
  switch (code) {
    case 'EADDRINUSE':
      return new ServeError(
        'listen-busy',
        `${address} is taken: is lowdew running already? Stop what listens there, or ${elsewhere}.`,
        error,
      );
    case 'EACCES':
      return new ServeError(
        'listen-denied',
        `The system does not let this user listen on ${address}: ports below 1024 are kept for the system. Take a higher one: ${elsewhere}.`,
        error,
      );
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return new ServeError(
        'listen-address',
        `${host} is no address of this machine. Use 127.0.0.1 for this machine alone or 0.0.0.0 for the whole network, with --listen host:port, or as listen = "host:port" under [server] in the bench file.`,
        error,
      );
    default:
      return error;
  }
}
