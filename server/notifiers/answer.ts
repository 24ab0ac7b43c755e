/** What came of an attempt to tell a receiver: a value with a sentence that holds no address, name or password. */

/** Stable names; listed in DEVELOPERS.md. */
export type TroubleCode =
  // May mend by itself.
  | 'too-many'
  | 'receiver-failed'
  | 'timed-out'
  | 'host-not-found'
  | 'connection-refused'
  | 'unreachable'
  | 'connection-lost'
  // Wants a person.
  | 'refused'
  | 'redirected'
  | 'login-refused'
  | 'certificate'
  | 'tls-failed'
  | 'mail-refused'
  | 'protocol-version'
  | 'secret-missing'
  | 'secret-exposed'
  | 'secret-unusable'
  | 'address-unusable'
  | 'failed';

export type Answer =
  | { readonly outcome: 'taken'; readonly words: string }
  | {
      readonly outcome: 'later';
      readonly code: TroubleCode;
      readonly words: string;
      /** How long the receiver itself asks to be left alone; null where it does not say. */
      readonly askedWaitMs: number | null;
    }
  | {
      readonly outcome: 'fault';
      readonly code: TroubleCode;
      readonly words: string;
      /** `content`: this message alone is not wanted, another may be. */
      readonly about: 'receiver' | 'content';
    };

export const taken = (words: string): Answer => ({ outcome: 'taken', words });
export const later = (code: TroubleCode, words: string, askedWaitMs: number | null = null): Answer => ({
  outcome: 'later',
  code,
  words,
  askedWaitMs,
});
export const fault = (
  code: TroubleCode,
  words: string,
  about: 'receiver' | 'content' = 'receiver',
): Answer => ({ outcome: 'fault', code, words, about });
