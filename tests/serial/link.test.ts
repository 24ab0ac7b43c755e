import { open, stat } from 'node:fs/promises';
import { PassThrough } from 'node:stream';
import { afterEach, describe, expect, test } from 'vitest';
import { falseClock, systemClock } from '../../server/clock.ts';
import { type Link, type LinkOptions, startLink } from '../../server/serial/link.ts';
import { wayByInput } from '../../server/serial/stream-way.ts';
import { ptyRig, type Rig, Taker, tcpRig, within } from './rigs.ts';

/** Hasty: retries after some ms, mutes far away. */
const HASTY = 50;
const endings: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await within(end(), 'an orderly end');
});

function linkOn(rig: Pick<Rig, 'way'>, taker: Taker, more: Partial<LinkOptions> = {}): Link {
  const link = startLink({
    sourceId: 'usb',
    way: rig.way,
    clock: systemClock(HASTY),
    random: () => 0.5,
    onLine: taker.onLine,
    onState: taker.onState,
    ...more,
  });
  link.noteInterval(60_000);
  endings.push(() => link.close());
  return link;
}

const rigs = [
  ['a virtual port', () => ptyRig()],
  ['a TCP connection', () => tcpRig()],
] as const;

describe.each(rigs)('a link over %s', (_name, makeRig) => {
  async function openRig(): Promise<Rig> {
    const rig = await makeRig();
    endings.push(() => rig.end());
    return rig;
  }

  test('asks for the hello when it has opened, and carries a line each way', async () => {
    const rig = await openRig();
    const taker = new Taker();
    const link = linkOn(rig, taker);
    await rig.happenings.until(() => rig.sent.text === '?\n', 'the question');
    rig.write('LD1 box 3f2a 41 4294967290 t=70.02 rh=4.81 m=1184.20 *A2E5\r\n');
    await taker.until(() => taker.lines.length === 1, 'the line');
    expect(taker.lines[0]).toMatchObject({
      sourceId: 'usb',
      text: 'LD1 box 3f2a 41 4294967290 t=70.02 rh=4.81 m=1184.20 *A2E5',
      mark: 'opening',
    });
    link.send('=2000');
    await rig.happenings.until(() => rig.sent.text === '?\n=2000\n', 'the command');
    expect(link.state()).toMatchObject({ state: 'open', trouble: null, lines: 1, attempts: 1 });
  });

  test('does not ask a board that would take it amiss', async () => {
    const rig = await openRig();
    const taker = new Taker();
    const link = linkOn(rig, taker, { asksHello: false });
    await taker.until(() => taker.state === 'open', 'the opening');
    link.send('mine');
    await rig.happenings.until(() => rig.sent.text.length > 0, 'a command');
    expect(rig.sent.text).toBe('mine\n');
  });

  test('gives out 20,000 lines in order, all bytes as they were', async () => {
    const rig = await openRig();
    const taker = new Taker();
    linkOn(rig, taker);
    await rig.happenings.until(() => rig.sent.text === '?\n', 'the question');
    // Every byte but LF and CR, so that no decoding has touched any.
    const all = Array.from({ length: 256 }, (_, i) => i).filter((byte) => byte !== 10 && byte !== 13);
    const tail = Buffer.from(all.slice(0, 50)).toString('latin1');
    const other = Buffer.from(all.slice(128, 178)).toString('latin1');
    const sent = Array.from({ length: 20_000 }, (_, i) => `${i} ${i % 2 ? tail : other}`);
    rig.write(Buffer.from(`${sent.join('\n')}\n`, 'latin1'));
    await taker.until(() => taker.lines.length === sent.length, '20,000 lines');
    expect(taker.texts()).toEqual(sent);
    expect(new Set(taker.lines.slice(1).map((line) => line.mark))).toEqual(new Set(['whole']));
  });

  test('keeps the torn last line, marked, and comes back when the board does', async () => {
    const rig = await openRig();
    const taker = new Taker();
    linkOn(rig, taker);
    await rig.happenings.until(() => rig.sent.text === '?\n', 'the question');
    rig.write('first\nsecond\nthi');
    await taker.until(() => taker.lines.length === 2, 'two lines');
    await rig.pull();
    await taker.until(() => taker.states.some((state) => state.trouble !== null), 'the trouble');
    const trouble = taker.states.find((state) => state.trouble !== null)?.trouble;
    expect(trouble?.code).toBe(rig.name === 'pty' ? 'unplugged' : 'peer-closed');
    expect(taker.lines.map(({ text, mark }) => [text, mark])).toEqual([
      ['first', 'opening'],
      ['second', 'whole'],
      ['thi', 'partial'],
    ]);
    await rig.plug();
    await rig.happenings.until(() => rig.sent.text === '?\n?\n', 'the second question');
    rig.write('back\n');
    await taker.until(() => taker.texts().at(-1) === 'back', 'the line after');
    expect(taker.lines.at(-1)?.mark).toBe('opening');
    expect(taker.trouble).toBeNull();
  });

  test('holds the sender back while its lines are not taken, and loses none', async () => {
    const rig = await openRig();
    const taker = new Taker();
    let letGo: () => void = () => {};
    const held = new Promise<void>((settle) => {
      letGo = settle;
    });
    linkOn(rig, taker, {
      onLine: (line) => {
        taker.onLine(line);
        return held;
      },
    });
    await rig.happenings.until(() => rig.sent.text === '?\n', 'the question');
    const sent = Array.from({ length: 5000 }, (_, i) => `line ${i}`);
    rig.write(`${sent.join('\n')}\n`);
    await taker.until(() => taker.lines.length > 0, 'a line');
    // Whatever else could come would have come by the time a turn of input and output is over.
    for (let turn = 0; turn < 20; turn++) await new Promise((settle) => setImmediate(settle));
    expect(taker.lines.length).toBe(1);
    letGo();
    await taker.until(() => taker.lines.length === sent.length, 'all lines');
    expect(taker.texts()).toEqual(sent);
  });

  test('is closed with the port given back, and every line that was read given out', async () => {
    const rig = await openRig();
    const taker = new Taker();
    const link = linkOn(rig, taker);
    await rig.happenings.until(() => rig.sent.text === '?\n', 'the question');
    rig.write('one\ntwo\n');
    await taker.until(() => taker.lines.length === 2, 'two lines');
    await link.close();
    expect(taker.state).toBe('closed');
    // The lock is gone: the next link gets the port at its first try.
    const next = new Taker();
    const second = linkOn(rig, next);
    await next.until(() => next.state === 'open', 'the second link');
    expect(second.state().attempts).toBe(1);
  });

  test('is closed while it waits for a board that is not there', async () => {
    const rig = await openRig();
    await rig.pull();
    const taker = new Taker();
    const link = linkOn(rig, taker, { clock: falseClock(0) });
    await taker.until(() => taker.state === 'waiting', 'the wait');
    expect(taker.trouble?.code).toBe(rig.name === 'pty' ? 'port-not-found' : 'tcp-refused');
    await within(link.close(), 'the close');
    expect(taker.state).toBe('closed');
  });
});

describe('a link', () => {
  test('says of a port in use who may have it, and takes it when it is free', async () => {
    const rig = await ptyRig();
    endings.push(() => rig.end());
    const first = new Taker();
    const firstLink = linkOn(rig, first);
    await first.until(() => first.state === 'open', 'the first link');
    const second = new Taker();
    linkOn(rig, second);
    await second.until(() => second.state === 'waiting', 'the refusal');
    expect(second.trouble).toMatchObject({ code: 'port-busy' });
    expect(second.trouble?.sentence).toContain(`${rig.path} is in use by another program`);
    await firstLink.close();
    await second.until(() => second.state === 'open', 'the port being free');
  });

  test('says of a file that it is no serial port', async () => {
    const rig = await ptyRig();
    endings.push(() => rig.end());
    await rig.pull();
    await (await open(rig.path, 'w')).close();
    const taker = new Taker();
    const link = linkOn(rig, taker);
    await taker.until(() => taker.state === 'waiting', 'the refusal');
    expect(taker.trouble?.code).toBe('port-not-serial');
    await link.close();
    expect((await stat(rig.path)).size).toBe(0);
  });

  test('ends with its input, the unfinished last line given out', async () => {
    const input = new PassThrough();
    const taker = new Taker();
    const link = linkOn({ way: wayByInput(input) }, taker);
    input.end('one\r\ntwo');
    await taker.until(() => taker.state === 'ended', 'the end');
    expect(taker.lines.map(({ text, mark }) => [text, mark])).toEqual([
      ['one', 'whole'],
      ['two', 'partial'],
    ]);
    expect(link.state()).toMatchObject({ state: 'ended', trouble: null, attempts: 1 });
  });

  test('says when lines come that nobody can read, until one is accepted', async () => {
    const rig = await ptyRig();
    endings.push(() => rig.end());
    const taker = new Taker();
    const link = linkOn(rig, taker, {
      onLine: (line) => {
        if (line.text === 'good') link.noteAccepted();
        taker.onLine(line);
      },
    });
    await rig.happenings.until(() => rig.sent.text === '?\n', 'the question');
    // Never twenty in a row.
    rig.write(`${'bad\n'.repeat(19)}good\n${'bad\n'.repeat(19)}`);
    await taker.until(() => taker.lines.length === 39, 'the lines');
    expect(taker.states.filter((state) => state.trouble !== null)).toEqual([]);
    rig.write('bad\n');
    await taker.until(() => taker.trouble?.code === 'unreadable', 'the trouble');
    expect(taker.state).toBe('open');
    rig.write('good\n');
    await taker.until(() => taker.trouble === null, 'the all-clear');
  });
});
