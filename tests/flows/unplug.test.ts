/**
 * The cable is pulled at 200 random instants while the board goes on counting. Beside the link, a tap in the port's own
 * read says what the host was given by the system: no more can be asked of it, and no less.
 */
import { read } from 'node:fs';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { encodeReading } from '../../firmware-protocol/encode.ts';
import { systemClock } from '../../server/clock.ts';
import { startLink } from '../../server/serial/link.ts';
import { listPorts } from '../../server/serial/list-ports.ts';
import { openSafePort, type ReadFd } from '../../server/serial/safe-port.ts';
import { seededRandom } from '../../simulators/random.ts';
import { ptyRig, Taker, within } from '../serial/rigs.ts';

const PULLS = 200;
/** In each of which the stock read is lost for good. */
const ROUNDS = 6;
/** Retries come after about a millisecond instead of a quarter of a second. */
const HASTY = 200;

const readAsync = promisify(read);
/** A turn of input and output, in which anything may happen. */
const turn = (): Promise<void> => new Promise((settle) => setImmediate(settle));

/** Bytes as the system gave them, one list entry an opening. */
function tappedPorts() {
  const openings: Buffer[][] = [];
  const open = async (path: string, baud: number) => {
    const chunks: Buffer[] = [];
    const tap: ReadFd = async (fd, into, offset, length) => {
      const { bytesRead } = await readAsync(fd, into, offset, length, null);
      if (bytesRead > 0) chunks.push(Buffer.from(into.subarray(offset, offset + bytesRead)));
      return bytesRead;
    };
    const opened = await openSafePort(path, baud, tap);
    openings.push(chunks);
    return opened;
  };
  return { openings, system: { list: () => listPorts(), open } };
}

test('200 unplugs at random instants: every line read is kept, every line lost is known, and it always comes back', async () => {
  const random = seededRandom(20_260_401);
  const tapped = tappedPorts();
  const rig = await ptyRig(tapped.system);
  const taker = new Taker();
  const accepted: number[] = [];
  const clock = systemClock(HASTY);
  const link = startLink({
    sourceId: 'usb',
    way: rig.way,
    clock,
    random: () => random.next(),
    onLine: (line) => {
      const decoded = decodeLine(line.text);
      if (decoded.ok && decoded.line.kind === 'reading') {
        accepted.push(decoded.line.seq);
        link.noteAccepted();
      }
      taker.onLine(line);
    },
    onState: taker.onState,
  });
  link.noteInterval(60_000);

  const written: string[] = [];
  const nextLine = (): string => {
    const seq = written.length;
    const values = { t: Math.round(random.normal(70, 1) * 100) / 100, rh: 4.81 };
    const line = encodeReading({
      station: 'box',
      boot: '3f2a',
      seq,
      uptimeMs: seq * 2000,
      values,
      faults: {},
    });
    written.push(line);
    return line;
  };
  let askedBefore = 0;
  /** The board talks on until the host asks on the present port, which it does once that is open and flushed. */
  async function comeBack(): Promise<void> {
    while (rig.sent.text.length === askedBefore) {
      rig.write(`${nextLine()}\n`);
      await turn();
    }
  }
  for (let pull = 0; pull < PULLS; pull++) {
    // Four in five wait for the host; the others are pulled wherever the opening happens to be.
    if (random.chance(0.8)) await within(comeBack(), `the comeback after pull ${pull}`);
    for (let left = random.below(12); left > 0; left--) {
      rig.write(`${nextLine()}\n`);
      if (random.chance(0.7)) await turn();
    }
    const torn = nextLine();
    rig.write(torn.slice(0, random.below(torn.length + 1)));
    for (let left = random.below(3); left > 0; left--) await turn();
    await rig.pull();
    // The board goes on; nobody hears it.
    for (let left = random.below(20); left > 0; left--) {
      nextLine();
      if (random.chance(0.3)) await turn();
    }
    askedBefore = rig.sent.text.length;
    await rig.plug();
  }
  await within(comeBack(), 'the last comeback');
  const last = written.length;
  rig.write(`${nextLine()}\n`);
  await taker.until(() => accepted.at(-1) === last, 'the last line');
  await link.close();
  await rig.end();

  // Every row that the host was given is kept, in order, byte for byte; the torn ones too.
  const given = tapped.openings.flatMap((chunks) =>
    Buffer.concat(chunks)
      .toString('latin1')
      .split('\n')
      .filter((row) => row !== ''),
  );
  expect(taker.texts()).toEqual(given);
  expect(taker.lines.some((line) => line.mark === 'partial')).toBe(true);

  // Of these, the whole ones are accepted, each once, in order.
  const seqOf = new Map(written.map((line, seq) => [line, seq]));
  expect(accepted).toEqual(given.flatMap((row) => seqOf.get(row) ?? []));

  // Lines lost as the host can tell, from gaps in the sequence; and as the board knows, line by line.
  const first = accepted[0] as number;
  const gaps = accepted.slice(1).reduce((sum, seq, i) => sum + (seq - (accepted[i] as number) - 1), 0);
  const arrived = new Set(given);
  expect(gaps).toBe(written.slice(first).filter((line) => !arrived.has(line)).length);
  expect(gaps).toBeGreaterThan(PULLS);
  expect(tapped.openings.length).toBeGreaterThan(PULLS / 2);
  // About a second on an idle machine; each of the 200 openings waits for its turn on a busy one.
}, 60_000);

test('a port that hung up right after a line keeps no core busy', async () => {
  const rig = await ptyRig();
  const taker = new Taker();
  const link = startLink({
    sourceId: 'usb',
    way: rig.way,
    clock: systemClock(10),
    random: () => 0.99,
    onLine: (line) => {
      link.noteAccepted();
      taker.onLine(line);
    },
    onState: taker.onState,
  });
  link.noteInterval(60_000);
  for (let round = 0; round < ROUNDS; round++) {
    const asked = '?\n'.repeat(round + 1);
    await rig.happenings.until(() => rig.sent.text === asked, `question ${round + 1}`);
    // The read for this line is under way when the cable goes: the instant at which the stock read never returns.
    rig.write('a line\n');
    rig.pty().unplug();
    await rig.pull();
    await taker.until(() => taker.state === 'waiting', `unplugging ${round + 1} to be noticed`, 2000);
    if (round < ROUNDS - 1) await rig.plug();
  }
  const wallStart = process.hrtime.bigint();
  const before = process.cpuUsage();
  await new Promise((settle) => systemClock().after(1000, () => settle(undefined)));
  const used = process.cpuUsage(before);
  const wallUs = Number((process.hrtime.bigint() - wallStart) / 1000n);
  // A spinning read takes all of a core and part of the next. Looking for the port a few times takes some ms.
  expect((used.user + used.system) / wallUs).toBeLessThan(0.3);
  await link.close();
  await rig.end();
});
