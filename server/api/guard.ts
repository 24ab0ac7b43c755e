/** Whether a request may come in at all: one decision for HTTP and for the socket's upgrade, before anything is read. */
import type { IncomingHttpHeaders } from 'node:http';
import { RequestRefused } from './errors.ts';
import { decideHost, decideOrigin, type OwnNames } from './hosts.ts';
import type { RateLimit } from './rate.ts';
import type { Gate } from './token.ts';

export interface GuardParts {
  readonly own: OwnNames;
  /** Null: this machine alone is served, and no token is asked. */
  readonly gate: Gate | null;
  readonly rate: RateLimit;
  nowMs(): number;
}

export interface Knock {
  readonly address: string;
  readonly method: string;
  /** Without the query. */
  readonly path: string;
  readonly headers: IncomingHttpHeaders;
  /** Opens the live socket; the browser lets any page do that. */
  readonly upgrade: boolean;
}

export type Guard = (knock: Knock) => RequestRefused | null;

/** Reading is harmless across origins (the browser keeps the answer from the page); everything else is not. */
const HARMLESS = new Set(['GET', 'HEAD']);
/** Where a person enters the token, and what that page needs. */
export const OPEN_PATHS: ReadonlySet<string> = new Set(['/enter', '/enter.css']);

export function createGuard({ own, gate, rate, nowMs }: GuardParts): Guard {
  return ({ address, method, path, headers, upgrade }) => {
    if (rate.take(address, nowMs()) === 'too-many')
      return new RequestRefused(
        429,
        'too-many-requests',
        'Too many requests from this address; wait a second.',
      );
    const host = decideHost(headers.host, own);
    if (host !== 'ours')
      return new RequestRefused(
        421,
        'host-refused',
        host === 'missing'
          ? 'The request names no host.'
          : 'This server does not go by that name; use its address instead.',
      );
    if (upgrade || !HARMLESS.has(method)) {
      const fetchSite = headers['sec-fetch-site'];
      const origin = decideOrigin(
        headers.origin,
        headers.host,
        Array.isArray(fetchSite) ? fetchSite[0] : fetchSite,
      );
      if (origin === 'foreign')
        return new RequestRefused(403, 'origin-refused', 'A page from elsewhere may not do this.');
    }
    if (gate && !OPEN_PATHS.has(path) && !gate.isOpenTo(headers))
      return new RequestRefused(
        401,
        'token-needed',
        'Enter the token at /enter first, or send it as a Bearer token.',
      );
    return null;
  };
}
