/** What a person is told while a store cannot be written: a value with a sentence, not an error. */
import type { StorageCode } from './errors.ts';

export interface Trouble {
  readonly code: StorageCode;
  readonly sentence: string;
  readonly sinceMs: number;
}

const BEGINNING: Readonly<Partial<Record<StorageCode, string>>> = {
  'disk-full': 'The disk is full: make room on the one that holds %.',
  'read-only': '% cannot be written: make it writable for the user that runs lowdew.',
  'io-failed': 'The disk that holds % fails to write: it may be worn out or loose.',
  busy: 'Another program holds the files in %: is a second lowdew running?',
  damaged: 'The history file in % was damaged and has been set aside.',
  'data-folder': '% is gone or cannot be entered any more.',
};

/** `lost`: readings already given up, since memory has its limit too. */
export function tellTrouble(
  code: StorageCode,
  folder: string,
  sinceMs: number,
  lost: number,
  mostHeld: number,
): Trouble {
  const beginning = (BEGINNING[code] ?? 'History in % cannot be written.').replace('%', folder);
  const middle = 'Readings are shown live but not kept';
  const end =
    lost === 0
      ? `; up to ${mostHeld} are held in memory and written as soon as that is possible.`
      : `; the oldest ${lost} are lost, the newest ${mostHeld} are held in memory and written as soon as that is possible.`;
  return { code, sinceMs, sentence: `${beginning} ${middle}${end}` };
}
