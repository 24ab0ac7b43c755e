/** What can be wrong with a source, in a person's words, with the remedy. The codes are stable. */
import { nameFound, type PortListing } from './list-ports.ts';

export const SOURCE_CODES = [
  'port-not-found',
  'port-busy',
  'port-permission',
  'port-not-serial',
  'port-baud',
  'port-failed',
  'port-library',
  'serial-number-not-found',
  'tcp-refused',
  'tcp-unknown-host',
  'tcp-unreachable',
  'tcp-failed',
  'unplugged',
  'peer-closed',
  'input-failed',
  'mute',
  'unreadable',
] as const;
export type SourceCode = (typeof SOURCE_CODES)[number];

export interface Trouble {
  readonly code: SourceCode;
  /** One or two sentences: what is wrong, and what to do. */
  readonly sentence: string;
}

/** A source that cannot be opened now. */
export class SourceError extends Error {
  readonly code: SourceCode;
  constructor(trouble: Trouble, cause?: unknown) {
    super(trouble.sentence, { cause });
    this.name = 'SourceError';
    this.code = trouble.code;
  }
}

/** The binding gives no error codes, only the system's words, which differ by system. First match counts. */
const PORT_FAILURES: readonly (readonly [RegExp, SourceCode])[] = [
  [/no native build|cannot find module|could not locate the bindings/i, 'port-library'],
  [/cannot lock|resource busy|resource temporarily unavailable/i, 'port-busy'],
  [/no such file|file not found|no such device|not a directory/i, 'port-not-found'],
  [/inappropriate ioctl|is a directory/i, 'port-not-serial'],
  [/baud/i, 'port-baud'],
  [/permission denied|operation not permitted/i, 'port-permission'],
];

/** Why a port could not be opened, from the words of the binding. `platform` as in process.platform. */
export function explainPortFailure(
  words: string,
  port: { readonly path: string; readonly baud: number },
  listing: PortListing,
  platform: string,
): Trouble {
  const { path, baud } = port;
  // Windows says "access denied" when another program has the port; it has no permissions on ports.
  const code = /access denied/i.test(words)
    ? 'port-busy'
    : (PORT_FAILURES.find(([pattern]) => pattern.test(words))?.[1] ?? 'port-failed');
  const sentences: Partial<Record<SourceCode, string>> = {
    'port-not-found': `There is no port ${path}. ${nameFound(listing)}`,
    'port-busy': `${path} is in use by another program: a serial monitor, a printer's host program or another lowdew. Close it; ${whoHolds(path, platform)}.`,
    'port-permission': `This user may not open ${path}. ${permissionRemedy(path, platform)}`,
    'port-not-serial': `${path} is not a serial port. ${nameFound(listing)}`,
    'port-library': `Serial ports cannot be used on this kind of computer (${platform} ${process.arch}): the serial package has no binary for it. Use a serial bridge over TCP (tcp = "host:port").`,
    'port-baud': `${path} cannot be set to ${baud} baud. LD1 boards use 115200; set "baud" to what the sketch uses.`,
  };
  return {
    code,
    sentence:
      sentences[code] ?? `${path} could not be opened: ${words}. Unplug the board and plug it in again.`,
  };
}

function whoHolds(path: string, platform: string): string {
  if (platform === 'win32') return 'it is usually one of the programs that are open now';
  return platform === 'darwin' ? `"lsof ${path}" names it` : `"fuser -v ${path}" names it`;
}

function permissionRemedy(path: string, platform: string): string {
  if (platform !== 'linux')
    return `Give your user read and write access to it ("ls -lL ${path}" shows whose it is).`;
  return `Add yourself to the group that owns it ("ls -lL ${path}" shows it; mostly dialout, on some systems uucp): "sudo usermod -aG dialout $USER", then log out and in again.`;
}

const TCP_FAILURES: Readonly<Record<string, SourceCode>> = {
  ECONNREFUSED: 'tcp-refused',
  ENOTFOUND: 'tcp-unknown-host',
  EAI_AGAIN: 'tcp-unknown-host',
  EHOSTUNREACH: 'tcp-unreachable',
  ENETUNREACH: 'tcp-unreachable',
  ETIMEDOUT: 'tcp-unreachable',
};

/** Why a TCP connection was not made, from the system's error code. */
export function explainTcpFailure(systemCode: string | undefined, host: string, port: number): Trouble {
  const code = TCP_FAILURES[systemCode ?? ''] ?? 'tcp-failed';
  const sentences: Partial<Record<SourceCode, string>> = {
    'tcp-refused': `Nothing listens at ${host}:${port}. Start the serial bridge or simulator there, or correct the port number.`,
    'tcp-unknown-host': `The name ${host} is not known on this network. Check its spelling, or give its address in numbers.`,
    'tcp-unreachable': `${host} does not answer. Check that it is switched on and on the same network.`,
  };
  return {
    code,
    sentence:
      sentences[code] ?? `The connection to ${host}:${port} failed (${systemCode ?? 'no reason given'}).`,
  };
}
