/** `[server] listen = "host:port"`: where the page is served. */
import type { Table } from './fields.ts';
import { text } from './fields.ts';

export const USUAL_LISTEN = { listenHost: '127.0.0.1', listenPort: 7323 };

/** "host:port", "[::1]:port"; port 0 lets the system choose. Null where it is neither. */
export function parseListen(listen: string): { listenHost: string; listenPort: number } | null {
  const match = /^(?:\[([0-9A-Fa-f:.]+)\]|([^:\s]+)):([0-9]{1,5})$/.exec(listen);
  const port = Number(match?.[3]);
  const host = match?.[1] ?? match?.[2];
  return host !== undefined && port <= 65_535 ? { listenHost: host, listenPort: port } : null;
}

export function readListen(server: Table): { listenHost: string; listenPort: number } {
  const listen = server.may('listen', text('"host:port"'), null);
  if (listen === null) return USUAL_LISTEN;
  const parsed = parseListen(listen);
  if (!parsed) server.note('listen', `listen = "${listen}" is not "host:port", like "127.0.0.1:7323".`);
  return parsed ?? USUAL_LISTEN;
}
