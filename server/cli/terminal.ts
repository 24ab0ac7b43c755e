/** What a command is given to speak with, so that a test can listen. Results go to `out`, all else to `err`. */
export interface Terminal {
  out(text: string): void;
  err(text: string): void;
}

/** Exit codes, the same for every command; listed in DEVELOPERS.md. */
export const EXIT = {
  fine: 0,
  /** Some rows of the input were bad; the others were answered. */
  someRowsBad: 1,
  badBenchOrOption: 2,
  unreadableCapture: 3,
  /** The data folder cannot be used. */
  dataFolder: 4,
  /** The address is taken, or may not be listened on. */
  listen: 5,
} as const;
export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
