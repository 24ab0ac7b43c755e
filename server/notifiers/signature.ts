/**
 * Who gets a webhook can tell that it comes from here and is not an old one sent again: an HMAC with SHA-256 (RFC 2104)
 * over the time, a full stop and the body's bytes, in hexadecimal. How to verify it: README.md in this folder.
 */
import { createHmac } from 'node:crypto';

/** `timestampS`: seconds since the Unix epoch, as the header says them. */
export function sign(secret: string, timestampS: number, body: string): string {
  return `sha256=${createHmac('sha256', secret).update(`${timestampS}.${body}`).digest('hex')}`;
}
