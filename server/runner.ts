/**
 * A reading's way through the live program, in its visible order: captured as it came, decoded, judged by the engine,
 * then kept, shown and told. It opens nothing itself; main joins it to links, history and page.
 */

import type { Judgement } from './alerts/judge.ts';
import type { SourceState } from './api/messages.ts';
import type { Clock, Instant } from './clock.ts';
import type { Entered } from './desks/spool-entries.ts';
import type { Engine, Outcome } from './engine.ts';
import { decodeSourceLine, type SourceLines } from './intake/source-lines.ts';
import type { Sample, Transition, UserEntry } from './records.ts';

/** A line as the serial room gives it out. */
export interface ReceivedLine {
  readonly sourceId: string;
  /** latin1, without its ending. */
  readonly text: string;
  readonly at: Instant;
  readonly mark: 'whole' | 'partial' | 'over-long' | 'opening';
}

/** A link as far as this file needs it. */
export interface LinkView {
  state(): {
    readonly state: SourceState['state'];
    readonly where: string;
    readonly trouble: { readonly sentence: string } | null;
    readonly sinceMs: number;
    readonly heardMs: number | null;
    readonly lines: number;
  };
  noteInterval(intervalMs: number): void;
  noteAccepted(): void;
}

export interface RunnerParts {
  readonly engine: Engine;
  readonly sourceLines: SourceLines;
  readonly clock: Clock;
  capture(at: Instant, source: string, text: string): void;
  keep(samples: readonly Sample[]): void;
  readonly show: {
    stationsChanged(ids: readonly string[]): void;
    sourceChanged(id: string): void;
    samples(samples: readonly Sample[]): void;
    estimatesChanged(): void;
  };
  tell(transition: Transition): void;
  /** What came of a look at alarms and news: to be kept, shown and sent. */
  alerted(judgement: Judgement, at: Instant): void;
  /** Why nothing can be written now; null: it can. */
  storageTrouble(): string | null;
  /** A refusal, for the log; called for each, so the receiver thins them out. */
  refused(source: string, reason: string, detail: string): void;
}

export interface Runner {
  addLink(source: string, link: LinkView): void;
  line(line: ReceivedLine): void;
  tick(): void;
  /** Keeps and shows what was estimated since; `tick` does so once a minute. */
  minute(at: Instant): void;
  /** Looks at alarms and news, where that is due; `tick` and `minute` do. */
  look(at: Instant): void;
  /** What a person enters, told to the engine; the caller has written it down. */
  enter(entry: UserEntry, at: Instant): Entered;
  sources(): readonly SourceState[];
}

export function createRunner(parts: RunnerParts): Runner {
  const links = new Map<string, LinkView>();
  const refusedBySource = new Map<string, Record<string, number>>();

  let lastMinute = -1;

  const countRefusal = (source: string, reason: string): void => {
    const counts = refusedBySource.get(source) ?? {};
    counts[reason] = (counts[reason] ?? 0) + 1;
    refusedBySource.set(source, counts);
  };
  const pass = (outcome: Outcome): void => {
    if (outcome.samples.length > 0) {
      parts.keep(outcome.samples);
      parts.show.samples(outcome.samples);
    }
    if (outcome.changed.length > 0) parts.show.stationsChanged(outcome.changed);
    for (const transition of outcome.transitions) parts.tell(transition);
  };

  return {
    addLink(source, link) {
      links.set(source, link);
    },
    line({ sourceId, text, at, mark }) {
      if (text === '') return;
      parts.capture(at, sourceId, text);
      parts.show.sourceChanged(sourceId);
      const decoded = decodeSourceLine(parts.sourceLines, sourceId, text, at);
      if (!decoded.ok) {
        // The rest of a line, or a reset's noise, right after opening is nobody's fault.
        const reason = mark === 'opening' ? 'opening' : mark === 'over-long' ? 'too-long' : decoded.reason;
        countRefusal(sourceId, reason);
        parts.refused(sourceId, reason, decoded.detail);
        return;
      }
      const link = links.get(sourceId);
      link?.noteAccepted();
      if (decoded.line.kind === 'hello') {
        const every = Number(decoded.line.facts['every']);
        if (Number.isFinite(every) && every > 0) link?.noteInterval(every);
      }
      for (const line of [decoded.line, ...decoded.others])
        pass(parts.engine.accept(sourceId, line, decoded.checked, at));
    },
    tick() {
      const now = parts.clock.now();
      pass(parts.engine.tick(now));
      this.look(now);
      const minute = Math.floor(now.monotonicMs / 60_000);
      if (minute === lastMinute) return;
      lastMinute = minute;
      this.minute(now);
    },
    minute(at) {
      pass(parts.engine.minute(at));
      parts.show.estimatesChanged();
      this.look(at);
    },
    look(at) {
      const judgement = parts.engine.alerts.look(at, parts.storageTrouble());
      if (judgement) parts.alerted(judgement, at);
    },
    enter(entry, at) {
      const entered = parts.engine.enter(entry, at);
      if (entered.ok) parts.show.estimatesChanged();
      return entered;
    },
    sources() {
      const boards = parts.engine.boardSummaries();
      const restarts = parts.engine.restarts();
      return [...links].map(([id, link]) => {
        const state = link.state();
        return {
          id,
          where: state.where,
          state: state.state,
          trouble: state.trouble?.sentence ?? null,
          sinceMs: state.sinceMs,
          heardMs: state.heardMs,
          lines: state.lines,
          refused: refusedBySource.get(id) ?? {},
          restarts: restarts[id] ?? {},
          boards: boards.filter(({ source }) => source === id).map(({ source: _, ...board }) => board),
        };
      });
    },
  };
}
