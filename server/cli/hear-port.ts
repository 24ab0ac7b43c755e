/** Listens on a serial port at one usual speed after the other until what comes reads as text. */
import type { Readable } from 'node:stream';
import type { Clock } from '../clock.ts';
import { wayIn } from '../serial/ways.ts';
import { type Heard, listenIn } from './listen-in.ts';

/** The commonest first: LD1 boards', hobby sketches', then rarer ones; 74880 is a start-up speed that some keep. */
export const USUAL_BAUDS = [
  115_200, 9600, 57_600, 38_400, 19_200, 230_400, 250_000, 74_880, 4800, 2400,
] as const;

export interface HeardOnPort {
  readonly heard: Heard;
  readonly baud: number;
}

/** Throws SourceError when the port cannot be opened. */
export async function hearPort(
  path: string,
  world: { readonly clock: Clock; readonly input: Readable },
  seconds: number,
  told: { trying(baud: number): void; line(line: string): void },
): Promise<HeardOnPort> {
  for (const baud of USUAL_BAUDS) {
    told.trying(baud);
    const way = wayIn({ way: 'port', path, baud }, world);
    const heard = await listenIn(way, world.clock, seconds, told.line);
    const isWrongSpeed = heard.outcome === 'noise' || heard.outcome === 'unsure';
    if (!isWrongSpeed || baud === USUAL_BAUDS.at(-1)) return { heard, baud };
  }
  throw new Error('no speed was tried');
}
