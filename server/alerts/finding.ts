/** What a rule finds when it looks at the facts, and the words it has for it. */
import type { NoticeNumber, Priority } from '../records.ts';
import type { MissingReason } from './facts.ts';

export interface Words {
  readonly headline: string;
  readonly text: string;
  readonly advice: string;
  readonly caution?: string;
  readonly number: NoticeNumber | null;
}

/** What a condition wants to remember from the moment it was first met until it clears: plain JSON. */
export type Mark = Readonly<Record<string, number>>;

export interface Met {
  readonly kind: 'met';
  /** When the trouble itself began, where the facts know it. */
  readonly sinceMs: number | null;
  readonly words: Words;
  /** Names the sides of the trouble, a space between them; a side not told yet is worth another word. */
  readonly detail: string;
  readonly mark?: Mark;
  /** More pressing than its rule, in these circumstances. */
  readonly priority?: Priority;
}

/** `missing` and `held` freeze an alarm as it stands: they neither raise nor clear it. */
export type Frozen =
  | { readonly kind: 'missing'; readonly reason: MissingReason }
  /** Another alarm at the same place says all there is to say. */
  | { readonly kind: 'held'; readonly by: string };

export type AlarmFinding = Met | { readonly kind: 'clear' } | Frozen;

export type NewsFinding =
  | { readonly kind: 'true'; readonly run: string; readonly words: Words }
  | { readonly kind: 'false'; readonly run: string; readonly withdrawal: Words }
  /** Nothing goes on that it could be about. */
  | { readonly kind: 'no-run' }
  | Frozen;

export const CLEAR = { kind: 'clear' } as const;
