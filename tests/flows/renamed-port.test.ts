/** A board comes back under another path: it is known by its USB serial number, or by its lasting name. */
import { expect, test } from 'vitest';
import { systemClock } from '../../server/clock.ts';
import { startLink } from '../../server/serial/link.ts';
import { type ListedPort, listPorts } from '../../server/serial/list-ports.ts';
import { wayBySerialNumber } from '../../server/serial/port-way.ts';
import { openSafePort } from '../../server/serial/safe-port.ts';
import { openPty, type Pty } from '../../simulators/pty.ts';
import { Happenings, Taker } from '../serial/rigs.ts';

test('the board is found again by its serial number, whatever path it has', async () => {
  const happenings = new Happenings();
  let sent = '';
  const plugIn = async (): Promise<Pty> => {
    const pty = await openPty();
    pty.onData((bytes) => {
      sent += bytes.toString('latin1');
      happenings.happen();
    });
    return pty;
  };
  let listed: ListedPort[] = [];
  const system = {
    list: () => listPorts({ list: async () => listed, byIdFolder: '/nowhere' }),
    open: openSafePort,
  };
  const taker = new Taker();
  const link = startLink({
    sourceId: 'usb',
    way: wayBySerialNumber('A50285BI', 115_200, system),
    clock: systemClock(50),
    random: () => 0.5,
    onLine: taker.onLine,
    onState: taker.onState,
  });
  link.noteInterval(60_000);
  await taker.until(() => taker.state === 'waiting', 'the first try');
  expect(taker.trouble?.code).toBe('serial-number-not-found');
  expect(taker.trouble?.sentence).toContain('No board with serial number A50285BI is plugged in.');

  const first = await plugIn();
  const other = await openPty();
  listed = [
    { path: other.path, serialNumber: 'FFFF0000' },
    { path: first.path, serialNumber: 'A50285BI' },
  ];
  await happenings.until(() => sent === '?\n', 'the question');
  first.write('here\n');
  await taker.until(() => taker.texts().includes('here'), 'the first line');
  expect(link.state().where).toBe(`the board with serial number A50285BI (${first.path}) at 115200 baud`);

  // The new port is made before the old one goes, so that it cannot have the old one's path.
  const second = await plugIn();
  expect(second.path).not.toBe(first.path);
  listed = [
    { path: other.path, serialNumber: 'FFFF0000' },
    { path: second.path, serialNumber: 'A50285BI' },
  ];
  first.unplug();
  await happenings.until(() => sent === '?\n?\n', 'the question at the new path');
  second.write('moved\n');
  await taker.until(() => taker.texts().includes('moved'), 'the line from the new path');
  expect(taker.texts()).toEqual(['here', 'moved']);
  expect(link.state()).toMatchObject({ state: 'open', trouble: null });
  expect(link.state().where).toContain(second.path);
  await link.close();
  second.unplug();
  other.unplug();
});
