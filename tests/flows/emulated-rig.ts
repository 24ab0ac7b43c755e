/** The emulated board on a real virtual port, a link at the other end, and every line decoded and tracked. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import type { Fault, LineHello, LineReading } from '../../firmware-protocol/line.ts';
import { systemClock } from '../../server/clock.ts';
import { type Arrival, arrive, type BoardState } from '../../server/intake/board-tracker.ts';
import { startLink } from '../../server/serial/link.ts';
import {
  type EmulatedBoard,
  type EmulatedBoardOptions,
  emulatedBoard,
} from '../../simulators/avr/emulated-board.ts';
import { firmwareImage } from '../../simulators/avr/firmware-image.ts';
import type { BoardReading } from '../../simulators/board.ts';
import { seededRandom } from '../../simulators/random.ts';
import { ptyRig, Taker } from '../serial/rigs.ts';

export const BUILT = join(import.meta.dirname, '../../firmware-protocol/board/built');
export const builtText = (ending: 'hex' | 'sym'): string =>
  readFileSync(join(BUILT, `lowdew-atmega328p.${ending}`), 'latin1');
export const builtImage = () => firmwareImage(builtText('hex'), builtText('sym'));

/** Story that passes before the port is served again: some lines at most. */
const SLICE_MS = 2000;
const SEED = 328;

export type World = (station: string, atS: number) => Record<string, number | Fault>;

const readingOf =
  (world: World) =>
  (station: string, atS: number): BoardReading => {
    const values: Record<string, number> = {};
    const faults: Record<string, Fault> = {};
    for (const [key, value] of Object.entries(world(station, atS)))
      if (typeof value === 'number') values[key] = value;
      else faults[key] = value;
    return { values, faults };
  };

export interface EmulatedRig {
  readonly board: EmulatedBoard;
  readonly readings: (LineReading & { readonly verdict: Arrival['verdict'] })[];
  readonly hellos: LineHello[];
  readonly refused: string[];
  /** Lets the story go on, and waits until the host has every line that the board sent. */
  advance(ms: number): Promise<void>;
  /** Sends a command through the link, and waits until it lies at the board's end of the port. */
  tell(command: string): Promise<void>;
  of(station: string): LineReading[];
  end(): Promise<void>;
}

/** A board alone, without a port: for what needs none. */
export const loneBoard = (
  world: World,
  options: Pick<EmulatedBoardOptions, 'families' | 'stepsOverWaiting'> = {},
): EmulatedBoard =>
  emulatedBoard({ image: builtImage(), read: readingOf(world), random: seededRandom(SEED), ...options });

export async function emulatedRig(world: World): Promise<EmulatedRig> {
  const board = loneBoard(world);
  const rig = await ptyRig();
  const taker = new Taker();
  const readings: EmulatedRig['readings'] = [];
  const hellos: LineHello[] = [];
  const refused: string[] = [];
  const boots = new Map<string, BoardState>();
  const link = startLink({
    sourceId: 'usb',
    way: rig.way,
    clock: systemClock(),
    random: () => 0.5,
    onLine: (line) => {
      const decoded = decodeLine(line.text);
      if (!decoded.ok) refused.push(decoded.reason);
      else if (decoded.line.kind === 'hello') hellos.push(decoded.line);
      else {
        const reading = decoded.line;
        const arrival = arrive(boots.get(reading.boot) ?? null, reading, false);
        boots.set(reading.boot, arrival.state);
        readings.push({ ...reading, verdict: arrival.verdict });
      }
      if (decoded.ok) link.noteAccepted();
      taker.onLine(line);
    },
    onState: taker.onState,
  });
  // The port is open, and what lay in it has been thrown away, once the host has asked.
  await rig.happenings.until(() => rig.sent.text !== '', 'the host’s first question');
  let heardBytes = 0;
  let sentLines = 0;
  const advance = async (ms: number): Promise<void> => {
    for (let left = ms; left > 0; left -= SLICE_MS) {
      board.receive(rig.sent.text.slice(heardBytes));
      heardBytes = rig.sent.text.length;
      const bytes = board.advance(Math.min(SLICE_MS, left));
      sentLines += bytes.split('\n').length - 1;
      if (bytes !== '') rig.write(bytes);
      await new Promise((settle) => setImmediate(settle));
    }
    await taker.until(() => taker.lines.length >= sentLines, `${sentLines} lines`);
  };
  return {
    board,
    readings,
    hellos,
    refused,
    advance,
    async tell(command) {
      const before = rig.sent.text.length;
      link.send(command);
      await rig.happenings.until(() => rig.sent.text.length > before + command.length, command);
    },
    of: (station) => readings.filter((reading) => reading.station === station),
    async end() {
      await link.close();
      await rig.end();
    },
  };
}
