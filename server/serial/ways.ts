/** From what a bench file says of a source to the way in. */
import type { Readable } from 'node:stream';
import type { Clock } from '../clock.ts';
import type { Way } from './connection.ts';
import { type PortSystem, realPorts, wayByPath, wayBySerialNumber } from './port-way.ts';
import { wayByInput, wayByTcp } from './stream-way.ts';

/** Exactly one of the ways in. */
export type WayConfig =
  | { readonly way: 'port'; readonly path: string; readonly baud: number }
  | { readonly way: 'serial-number'; readonly serialNumber: string; readonly baud: number }
  | { readonly way: 'tcp'; readonly host: string; readonly port: number }
  | { readonly way: 'stdin' };

export interface WayNeeds {
  readonly clock: Clock;
  readonly input: Readable;
  readonly ports?: PortSystem;
}

export function wayIn(source: WayConfig, needs: WayNeeds): Way {
  const ports = needs.ports ?? realPorts;
  switch (source.way) {
    case 'port':
      return wayByPath(source.path, source.baud, ports);
    case 'serial-number':
      return wayBySerialNumber(source.serialNumber, source.baud, ports);
    case 'tcp':
      return wayByTcp(source.host, source.port, needs.clock);
    case 'stdin':
      return wayByInput(needs.input);
  }
}
