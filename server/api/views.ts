/** The few members this room needs of the rest; main joins them. */
import type { Cancel } from '../clock.ts';
import type { Change, HistoryAnswer, Snapshot } from './messages.ts';

export interface BenchView {
  snapshot(): Snapshot;
  /** The listener is called with changes whose sequence grows by one each. */
  subscribe(listener: (change: Change) => void): Cancel;
}

export interface HistorySpan {
  readonly station: string;
  readonly keys: readonly string[];
  /** [fromMs, toMs) */
  readonly fromMs: number;
  readonly toMs: number;
}

export interface HistoryReader {
  read(query: HistorySpan & { readonly buckets: number }): HistoryAnswer;
  /** The finest that is kept of each stretch, a page at a time. */
  pages(span: HistorySpan): Iterable<HistoryAnswer>;
}

/** What storage counts; for the health page and the metrics. */
export interface HistoryFacts {
  /** Null while no file is open. */
  readonly engine: string | null;
  readonly series: number;
  readonly pending: number;
  readonly kept: number;
  readonly repeated: number;
  readonly refused: number;
  readonly crowdedOut: number;
  readonly lost: number;
}

export interface HealthView {
  historyFacts(): HistoryFacts;
  /** Receivers that cannot be told, one sentence each, for a person. */
  receiverTroubles?(): readonly string[];
}

/** A logger as pino is one. No header, cookie, body or token is ever handed to it. */
export interface ApiLog {
  warn(facts: object, message: string): void;
  error(facts: object, message: string): void;
}
