/** Opening resets the board: the rest of a torn line, the boot loader's noise, then a hello and good lines. */
import { expect, test } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { encodeHello, encodeReading } from '../../firmware-protocol/encode.ts';
import { systemClock } from '../../server/clock.ts';
import { startLink } from '../../server/serial/link.ts';
import { ptyRig, Taker } from '../serial/rigs.ts';

const reading = (seq: number): string =>
  encodeReading({
    station: 'box',
    boot: 'a0b1',
    seq,
    uptimeMs: 900 + seq * 2000,
    values: { t: 70.02, rh: 4.81 },
    faults: {},
  });
const hello = encodeHello({ board: 'box', boot: 'a0b1', facts: { fw: '1.0.0', every: '2000' } });

test('what comes at opening is told apart from what comes later, and nothing of it spoils a good line', async () => {
  const rig = await ptyRig();
  const taker = new Taker();
  const link = startLink({
    sourceId: 'usb',
    way: rig.way,
    clock: systemClock(50),
    random: () => 0.5,
    onLine: taker.onLine,
    onState: taker.onState,
  });
  link.noteInterval(60_000);
  for (const round of [1, 2]) {
    await rig.happenings.until(() => rig.sent.text === '?\n'.repeat(round), `question ${round}`);
    const had = taker.lines.length;
    const torn = reading(7).slice(-20);
    // Bytes as a wrong baud rate leaves them, cut up wherever the system likes.
    const noise = Buffer.from([0x00, 0xfe, 0x80, 0x0d, 0xff, 0x1b, 0x0a, 0x0a]);
    rig.write(`${torn}\r\n`);
    rig.write(noise);
    rig.write(`${hello}\r\n`);
    // Two lines in one write, and one line in three.
    rig.write(`${reading(0)}\r\n${reading(1)}\r\n`);
    for (const piece of [reading(2).slice(0, 9), reading(2).slice(9, 30), `${reading(2).slice(30)}\n`])
      rig.write(piece);
    await taker.until(() => taker.texts().lastIndexOf(reading(2)) >= had, 'the last line');
    const lines = taker.lines.slice(had);
    expect(lines.map((line) => line.mark)).toEqual(['opening', ...Array(6).fill('whole')]);
    expect(lines[0]?.text).toBe(torn);
    expect(lines[1]?.text).toBe('\x00\xfe\x80\r\xff\x1b');
    expect(lines.slice(2).map((line) => line.text)).toEqual(['', hello, reading(0), reading(1), reading(2)]);
    const decoded = lines.map((line) => decodeLine(line.text));
    expect(decoded.map((one) => (one.ok ? one.line.kind : one.reason))).toEqual([
      'not-a-line',
      'bad-byte',
      'blank',
      'hello',
      'reading',
      'reading',
      'reading',
    ]);
    if (round === 1) {
      // Plugged out in the middle of a line: its head is no line, its tail is the next opening's.
      rig.write('LD1 box a0b1 3 69');
      await rig.pull();
      await taker.until(() => taker.state === 'waiting' || taker.lines.at(-1)?.mark === 'partial', 'the end');
      await rig.plug();
    }
    // The torn head is there only if the host read it before the cable went.
    for (const line of taker.lines.filter((one) => one.mark === 'partial'))
      expect('LD1 box a0b1 3 69').toContain(line.text);
  }
  await link.close();
  await rig.end();
});
