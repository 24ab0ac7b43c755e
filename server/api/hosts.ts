/**
 * Which names a request may use for this server, and which pages may speak to it: pure decisions.
 *
 * A page of any site can make a browser on this machine send requests to a local server. Two checks stop that: the name
 * in Host must be ours (a hostile name may be made to point at 127.0.0.1, but the browser still says that name), and a
 * page that opens the socket or sends a command must have come from here (Origin, RFC 6454).
 */
import { isIP } from 'node:net';
import { isLoopback } from '../config/loopback.ts';

export interface OwnNames {
  /** Only this machine is served. */
  readonly loopback: boolean;
  /** Lower case; names this machine goes by, beside its addresses. */
  readonly names: ReadonlySet<string>;
}

export type HostDecision = 'ours' | 'missing' | 'foreign';

const HOST_PATTERN = /^(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+?)\.?)(?::\d{1,5})?$/i;

/**
 * An address is safe to accept where the network is served: no name was looked up to reach it, so none was made to point
 * here. On a server for this machine alone only loopback is.
 */
export function decideHost(header: string | undefined, own: OwnNames): HostDecision {
  if (header === undefined || header === '') return 'missing';
  const match = HOST_PATTERN.exec(header);
  const name = (match?.[1] ?? match?.[2])?.toLowerCase();
  if (name === undefined) return 'foreign';
  if (isLoopback(name) || own.names.has(name)) return 'ours';
  return !own.loopback && isIP(name) !== 0 ? 'ours' : 'foreign';
}

export type OriginDecision = 'same' | 'none' | 'foreign';

/** Programs that are no browser send no Origin. A browser's own word on where a request comes from counts as well. */
export function decideOrigin(
  origin: string | undefined,
  host: string | undefined,
  fetchSite: string | undefined,
): OriginDecision {
  if (fetchSite !== undefined && fetchSite !== 'same-origin' && fetchSite !== 'none') return 'foreign';
  if (origin === undefined) return 'none';
  const match = /^https?:\/\/([^/@?#]+)$/i.exec(origin);
  return match?.[1] !== undefined && match[1].toLowerCase() === host?.toLowerCase() ? 'same' : 'foreign';
}
