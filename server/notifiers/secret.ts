/** Fetches a secret at the moment it is needed. Its place may be told to a person, the secret never. */
import { readFileSync, statSync } from 'node:fs';
import type { SecretSource } from '../config/receivers.ts';
import { type Answer, fault } from './answer.ts';

export type Environment = Readonly<Record<string, string | undefined>>;

export type SecretReading =
  | { readonly ok: true; readonly value: string }
  | { readonly ok: false; readonly answer: Answer };

/** No password is longer; a larger file is another file. */
const LONGEST_BYTES = 4096;

/** `what` as a person would say it: "password". A line feed at the end of a file is the editor's, not the secret's. */
export function readSecret(source: SecretSource, what: string, env: Environment): SecretReading {
  const no = (code: 'secret-missing' | 'secret-exposed' | 'secret-unusable', words: string) =>
    ({ ok: false, answer: fault(code, words) }) as const;
  if (source.from === 'env') {
    const value = env[source.name];
    return value === undefined || value === ''
      ? no(
          'secret-missing',
          `The environment variable ${source.name}, which should hold the ${what}, is not set.`,
        )
      : { ok: true, value };
  }
  try {
    const { mode, size, uid } = statSync(source.path);
    // Windows has no such bits; there the user's own folder is private.
    if (process.platform !== 'win32') {
      if ((mode & 0o077) !== 0)
        return no(
          'secret-exposed',
          `Others on this computer may read ${source.path}, which holds the ${what}: it is not used until "chmod 600" has closed it.`,
        );
      if (uid !== process.getuid?.() && uid !== 0)
        return no(
          'secret-exposed',
          `${source.path}, which holds the ${what}, belongs to another user, who may change it: make it your own.`,
        );
    }
    if (size > LONGEST_BYTES)
      return no(
        'secret-unusable',
        `${source.path} is too large to hold a ${what} (over ${LONGEST_BYTES} bytes).`,
      );
    const value = readFileSync(source.path, 'utf8').replace(/\r?\n$/, '');
    if (value === '') return no('secret-missing', `${source.path}, which should hold the ${what}, is empty.`);
    return { ok: true, value };
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    return no(
      code === 'ENOENT' ? 'secret-missing' : 'secret-unusable',
      code === 'ENOENT'
        ? `${source.path}, which should hold the ${what}, is not there.`
        : `${source.path}, which should hold the ${what}, cannot be read (${code ?? 'unknown'}).`,
    );
  }
}
