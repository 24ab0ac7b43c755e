/** What a person names to be listened on. */
import type { WayConfig } from '../serial/ways.ts';
import { USUAL_BAUDS } from './hear-port.ts';

/** "-" for standard input, "host:port", else the path of a port; null where it is none of them. */
export function placeToListen(target: string): WayConfig | null {
  if (target === '-') return { way: 'stdin' };
  const tcp = /^\[?([^/\\]+?)\]?:([0-9]+)$/.exec(target);
  if (!tcp) return target === '' ? null : { way: 'port', path: target, baud: USUAL_BAUDS[0] as number };
  const port = Number(tcp[2]);
  return port >= 1 && port <= 65_535 ? { way: 'tcp', host: tcp[1] as string, port } : null;
}
