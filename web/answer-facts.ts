/** What an answer is made from, and what it is made of. */
import type { SpoolState } from '../server/api/messages.ts';
import type { ChamberState } from '../server/api/messages-chamber.ts';
import type { JobState } from '../server/api/messages-jobs.ts';
import type { Bench } from './bench-model.ts';
import type { Connection } from './bench-state.ts';
import type { Format } from './format.ts';
import type { Piece } from './pieces.ts';
import type { StartAsked } from './start-answer.ts';
import type { Cast } from './stations.ts';

export interface Aside {
  readonly head: string;
  readonly rows: readonly (readonly [what: string, how: string])[];
  readonly note: string;
}

export interface Answer {
  readonly heading: string;
  /** The heading with its marks, where it has any. */
  readonly say?: readonly Piece[];
  readonly tell: readonly Piece[];
  readonly aside: Aside | null;
}

export interface AnswerFacts {
  readonly connection: Connection;
  readonly bench: Bench | null;
  readonly cast: Cast;
  /** The spool the answer is about. */
  readonly spool?: SpoolState | null;
  /** What is known of the chamber of the cast. */
  readonly chamber?: ChamberState | null;
  /** The job that goes on with either. */
  readonly job?: JobState | null;
  /** A start that is asked about. */
  readonly asked?: StartAsked | null;
  readonly nowMs: number;
  readonly lostSinceMs: number | null;
  readonly format: Format;
}
