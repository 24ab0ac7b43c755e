/** Certificate authorities of a receiver: those that Node knows, and one of the user's own. */
import { readFileSync } from 'node:fs';
import { rootCertificates } from 'node:tls';
import { type Answer, fault } from './answer.ts';

export type Authorities =
  | { readonly ok: true; readonly ca: { readonly ca?: string[] } }
  | { readonly ok: false; readonly answer: Answer };

export function readAuthorities(caPath: string | null): Authorities {
  if (caPath === null) return { ok: true, ca: {} };
  try {
    return { ok: true, ca: { ca: [...rootCertificates, readFileSync(caPath, 'utf8')] } };
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? 'unknown';
    return { ok: false, answer: fault('certificate', `The ca_file ${caPath} cannot be read (${code}).`) };
  }
}
