/** Which serial ports are there, with the names that stay the same when a board is plugged in elsewhere. */
import { readdir, realpath } from 'node:fs/promises';
import { join } from 'node:path';

export interface FoundPort {
  readonly path: string;
  /** Stays the same over reboots and sockets; null where the system makes none. */
  readonly byIdPath: string | null;
  readonly serialNumber: string | null;
  readonly manufacturer: string | null;
  readonly vendorId: string | null;
  readonly productId: string | null;
}

export interface PortListing {
  readonly ports: readonly FoundPort[];
  /** Why the list may be short, for a person; null when it is not. */
  readonly note: string | null;
}

/** What the system's own list gives of a port. */
export interface ListedPort {
  readonly path: string;
  readonly serialNumber?: string | undefined;
  readonly manufacturer?: string | undefined;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
}

export interface PortSources {
  /** May reject: on Linux it asks udev, which containers and small systems lack. */
  list(): Promise<readonly ListedPort[]>;
  readonly byIdFolder: string;
}

export const systemPorts: PortSources = {
  list: async () => (await import('@serialport/bindings-cpp')).autoDetect().list(),
  byIdFolder: '/dev/serial/by-id',
};

/** Never throws: a list that cannot be had is an empty one with a note. */
export async function listPorts(sources: PortSources = systemPorts): Promise<PortListing> {
  const byId = await readById(sources.byIdFolder);
  let listed: readonly ListedPort[] = [];
  let note: string | null = null;
  try {
    listed = await sources.list();
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    note = /ENOENT/.test(words)
      ? 'The list may be short, since this system keeps no register of its devices (udev): a port that is missing can be named by its path.'
      : `The list of ports could not be read in full (${words}).`;
  }
  const paths = new Set([...listed.map((port) => port.path), ...byId.keys()]);
  const ports = [...paths].map((path): FoundPort => {
    const port = listed.find((entry) => entry.path === path);
    return {
      path,
      byIdPath: byId.get(path) ?? null,
      serialNumber: port?.serialNumber ?? null,
      manufacturer: port?.manufacturer ?? null,
      vendorId: port?.vendorId ?? null,
      productId: port?.productId ?? null,
    };
  });
  // Boards on USB before the sockets soldered to the mainboard, most of which are not even there.
  const rank = (port: FoundPort): number => (isNamed(port) ? 0 : 1);
  return { ports: ports.sort((a, b) => rank(a) - rank(b) || (a.path < b.path ? -1 : 1)), note };
}

const isNamed = (port: FoundPort): boolean =>
  port.byIdPath !== null || port.serialNumber !== null || port.vendorId !== null;

/** Device path → its lasting name. */
async function readById(folder: string): Promise<Map<string, string>> {
  const byId = new Map<string, string>();
  try {
    for (const name of (await readdir(folder)).sort()) {
      const path = join(folder, name);
      // A link whose device has just gone.
      const device = await realpath(path).catch(() => null);
      if (device !== null && !byId.has(device)) byId.set(device, path);
    }
  } catch {
    // No such folder: nothing is plugged in, or the system makes no such names.
  }
  return byId;
}

/** The port of the board with this USB serial number, or null. Of a board with several ports, the first. */
export function findBySerialNumber(listing: PortListing, serialNumber: string): FoundPort | null {
  const wanted = serialNumber.toLowerCase();
  // Without udev's list the lasting name still ends in the serial number and the interface.
  const matches = (port: FoundPort): boolean =>
    port.serialNumber === null
      ? port.byIdPath?.toLowerCase().includes(`_${wanted}-if`) === true
      : port.serialNumber.toLowerCase() === wanted;
  return listing.ports.find(matches) ?? null;
}

/** More would not be read. */
const NAMED_AT_MOST = 6;

/** "Plugged in now: …", with the lasting names where there are any. */
export function nameFound(listing: PortListing): string {
  const named = listing.ports.filter(isNamed);
  const shown = named.length > 0 ? named : listing.ports;
  const note = listing.note === null ? '' : ` ${listing.note}`;
  if (shown.length === 0)
    return `No serial port was found; is the board plugged in with a data cable?${note}`;
  const names = shown.slice(0, NAMED_AT_MOST).map((port) => port.byIdPath ?? port.path);
  const more = shown.length > names.length ? ` and ${shown.length - names.length} more` : '';
  return `Plugged in now: ${names.join(', ')}${more}.${note}`;
}
