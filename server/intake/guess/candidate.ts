/** What the guessers of single styles give to the one that joins them. */
import type { Settled } from './settle-keys.ts';

export type LinesKind = 'ld1' | 'senml' | 'json' | 'columns' | 'named' | 'prose' | 'unknown';
/** What a pattern takes: columns in order, or a regular expression with named groups. */
export type Take = { readonly columns: readonly string[] } | { readonly regex: string };

/** A way to read the lines whose keys may still be corrected. */
export interface Candidate {
  readonly kind: LinesKind;
  /** A key for each number in order, over all shapes of lines. */
  readonly settled: readonly Settled[];
  /** What stood there last. */
  readonly samples: readonly string[];
  readonly doubts: readonly string[];
  /** Lines of column names: no readings, and no mistake. */
  readonly headers: readonly string[];
  /** `keys` in place of the settled ones; several patterns where lines of several shapes carry values. */
  patterns(keys: readonly string[]): readonly { readonly take: Take; readonly slots: readonly number[] }[];
}
