import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { findBySerialNumber, listPorts, nameFound, systemPorts } from '../../server/serial/list-ports.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lowdew-ports-'));
});
afterEach(() => rm(folder, { recursive: true }));

/** Devices and lasting names, as udev lays them out. */
async function layOut(names: Record<string, string>): Promise<string> {
  const byId = join(folder, 'by-id');
  await mkdir(byId);
  for (const [name, device] of Object.entries(names)) {
    await writeFile(join(folder, device), '');
    await symlink(`../${device}`, join(byId, name));
  }
  return byId;
}

test('a list that rejects is empty, with a note that says why', async () => {
  const spawnFailure = Object.assign(new Error('spawn udevadm ENOENT'), { code: 'ENOENT' });
  const listing = await listPorts({ list: () => Promise.reject(spawnFailure), byIdFolder: '/nowhere' });
  expect(listing).toEqual({
    ports: [],
    note: 'The list may be short, since this system keeps no register of its devices (udev): a port that is missing can be named by its path.',
  });
  expect(nameFound(listing)).toBe(
    'No serial port was found; is the board plugged in with a data cable? The list may be short, since this system keeps no register of its devices (udev): a port that is missing can be named by its path.',
  );
});

test('this system, whatever it has, gives a list', async () => {
  const listing = await listPorts(systemPorts);
  expect(Array.isArray(listing.ports)).toBe(true);
});

test('ports carry their lasting names, and are found without the system’s list too', async () => {
  const byIdFolder = await layOut({
    'usb-Maker_Board_85438333935351E0A1C2-if00': 'ttyACM0',
    'usb-Bridge_CP2102_0001-if00-port0': 'ttyUSB3',
  });
  await symlink('../gone', join(byIdFolder, 'usb-Gone_1-if00'));
  const listing = await listPorts({ list: () => Promise.reject(new Error('broken')), byIdFolder });
  expect(listing.ports.map((port) => [port.path, port.byIdPath])).toEqual([
    [join(folder, 'ttyACM0'), join(byIdFolder, 'usb-Maker_Board_85438333935351E0A1C2-if00')],
    [join(folder, 'ttyUSB3'), join(byIdFolder, 'usb-Bridge_CP2102_0001-if00-port0')],
  ]);
  expect(listing.note).toBe('The list of ports could not be read in full (broken).');
  expect(findBySerialNumber(listing, '85438333935351e0a1c2')?.path).toBe(join(folder, 'ttyACM0'));
  expect(findBySerialNumber(listing, '0001')?.path).toBe(join(folder, 'ttyUSB3'));
  // Not the tail of a longer number.
  expect(findBySerialNumber(listing, 'E0A1C2')).toBeNull();
  expect(nameFound(listing)).toContain(
    `Plugged in now: ${join(byIdFolder, 'usb-Maker_Board_85438333935351E0A1C2-if00')}, `,
  );
});

test('boards on USB come before the sockets of the mainboard, which are not advised', async () => {
  const listing = await listPorts({
    list: async () => [
      { path: '/dev/ttyS0' },
      { path: '/dev/ttyS1' },
      {
        path: '/dev/ttyUSB0',
        serialNumber: 'A1',
        vendorId: '1a86',
        productId: '7523',
        manufacturer: 'Maker',
      },
    ],
    byIdFolder: '/nowhere',
  });
  expect(listing.ports.map((port) => port.path)).toEqual(['/dev/ttyUSB0', '/dev/ttyS0', '/dev/ttyS1']);
  expect(listing.ports[0]).toEqual({
    path: '/dev/ttyUSB0',
    byIdPath: null,
    serialNumber: 'A1',
    manufacturer: 'Maker',
    vendorId: '1a86',
    productId: '7523',
  });
  expect(nameFound(listing)).toBe('Plugged in now: /dev/ttyUSB0.');
  expect(findBySerialNumber(listing, 'a1')?.path).toBe('/dev/ttyUSB0');
  expect(findBySerialNumber(listing, 'A')).toBeNull();
});

test('a long list is cut where nobody reads on', async () => {
  const list = async () => Array.from({ length: 32 }, (_, i) => ({ path: `/dev/ttyS${i}` }));
  const listing = await listPorts({ list, byIdFolder: '/nowhere' });
  expect(listing.ports.length).toBe(32);
  expect(nameFound(listing)).toContain(' and 26 more.');
});
