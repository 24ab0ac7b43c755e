/** Whether a name or address is this computer itself, which no network lies before. */
import { isIP } from 'node:net';

export function isLoopback(host: string): boolean {
  const name = host.toLowerCase();
  return name === 'localhost' || name === '::1' || (isIP(name) === 4 && name.startsWith('127.'));
}
