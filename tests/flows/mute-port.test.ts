/** The port stays open and falls mute: the link notices by the board's own interval, closes, and opens again. */
import { afterEach, expect, test } from 'vitest';
import { falseClock } from '../../server/clock.ts';
import { startLink } from '../../server/serial/link.ts';
import { ptyRig, type Rig, Taker, tcpRig, within } from '../serial/rigs.ts';

const endings: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of endings.splice(0).reverse()) await within(end(), 'an orderly end');
});

const START_MS = Date.UTC(2026, 3, 1);

async function mutePort(rig: Rig) {
  const clock = falseClock(START_MS);
  const taker = new Taker();
  const link = startLink({
    sourceId: 'usb',
    way: rig.way,
    clock,
    random: () => 0,
    onLine: (line) => {
      link.noteAccepted();
      taker.onLine(line);
    },
    onState: taker.onState,
  });
  endings.push(
    () => rig.end(),
    () => link.close(),
  );
  let questions = 0;
  const opened = async (): Promise<void> => {
    questions += 1;
    const wanted = '?\n'.repeat(questions);
    await rig.happenings.until(() => rig.sent.text === wanted, `question ${questions}`);
  };
  const hear = async (text: string): Promise<void> => {
    const had = taker.lines.length;
    rig.write(`${text}\n`);
    await taker.until(() => taker.lines.length > had, text);
  };
  await opened();
  return { clock, taker, link, opened, hear };
}

test.each([
  ['a virtual port', () => ptyRig()],
  ['a TCP connection', () => tcpRig()],
])(
  '%s of a 2 s board that says nothing for 10 s is reopened, and well again with its next line',
  async (_name, makeRig) => {
    const rig = await makeRig();
    const { clock, taker, link, opened, hear } = await mutePort(rig);
    await hear('one');
    link.noteInterval(2000);
    clock.advance(9000);
    await hear('two');
    // 10 s after the last line, not after the opening.
    clock.advance(9999);
    expect(link.state()).toMatchObject({ state: 'open', trouble: null, attempts: 1 });
    clock.advance(1);
    await taker.until(() => taker.state === 'waiting', 'the closing');
    expect(taker.trouble?.code).toBe('mute');
    expect(taker.trouble?.sentence).toContain('has said nothing for 10 s');
    clock.advance(250);
    await opened();
    expect(link.state()).toMatchObject({ state: 'open', attempts: 2 });
    expect(link.state().trouble?.code).toBe('mute');
    await hear('three');
    expect(link.state()).toMatchObject({
      state: 'open',
      trouble: null,
      lines: 3,
      heardMs: START_MS + 19_250,
    });
  },
);

test('a slow board is given five of its intervals', async () => {
  const rig = await ptyRig();
  const { clock, taker, link, hear } = await mutePort(rig);
  await hear('one');
  link.noteInterval(30_000);
  clock.advance(149_999);
  expect(link.state().state).toBe('open');
  clock.advance(1);
  await taker.until(() => taker.state === 'waiting', 'the closing');
});

test('a board that speaks first after a minute is not reset for ever by being opened', async () => {
  const rig = await ptyRig();
  const { clock, taker, link, opened } = await mutePort(rig);
  // Each opening that brings nothing is followed by one with twice the patience, up to five minutes.
  for (const [opening, patienceS] of [10, 20, 40, 80, 160, 300, 300].entries()) {
    clock.advance(patienceS * 1000 - 1);
    expect(link.state()).toMatchObject({ state: 'open', attempts: opening + 1 });
    clock.advance(1);
    await taker.until(() => taker.state === 'waiting', `the closing after ${patienceS} s`);
    clock.advance(15_000);
    await opened();
  }
});
