/** The links of a run: every source opened, kept open, its lines handed on in the bench's own time. */
import type { Clock } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import type { LinkView, ReceivedLine } from '../runner.ts';
import { type Link, startLink } from '../serial/link.ts';
import { wayIn } from '../serial/ways.ts';
import type { Log, Thinner } from './log.ts';

export interface LinkParts {
  readonly bench: BenchConfig;
  /** Real time: links judge silences that are real, whatever the bench's own time does. */
  readonly realClock: Clock;
  /** Bench time, for labels. */
  readonly clock: Clock;
  readonly random: () => number;
  readonly log: Log;
  readonly thin: Thinner;
  line(line: ReceivedLine): void;
  addLink(source: string, link: LinkView): void;
  sourceChanged(source: string): void;
}

/** A driver that hangs in close must not keep the program from stopping. */
const CLOSE_PATIENCE_MS = 3000;
const OPEN_TRIES = 40;
const OPEN_LOOK_MS = 50;

export interface RunLinks {
  /** Settles when every link is open, or after a moment without. */
  whenOpen(): Promise<void>;
  close(): Promise<void>;
}

export function openLinks(parts: LinkParts): RunLinks {
  const { bench, realClock, clock, log, thin } = parts;
  const links: Link[] = [];
  for (const source of bench.sources) {
    let sinceMs = clock.now().wallMs;
    let heardMs: number | null = null;
    const link = startLink({
      sourceId: source.id,
      way: wayIn(source, { clock: realClock, input: process.stdin }),
      clock: realClock,
      random: parts.random,
      asksHello: !bench.patterns.some((pattern) => pattern.source === source.id),
      onLine(line) {
        const at = clock.now();
        heardMs = at.wallMs;
        parts.line({ ...line, at });
      },
      onState(linkState) {
        sinceMs = clock.now().wallMs;
        parts.sourceChanged(source.id);
        const { trouble, state: phase, where } = linkState;
        if (trouble) {
          // Each try says it again; once a minute is enough for a log.
          if (thin(`link ${source.id} ${trouble.code}`).tell)
            log.warn({ source: source.id, code: trouble.code }, trouble.sentence);
        } else if (phase === 'open') log.info({ source: source.id }, `${where} is open.`);
      },
    });
    links.push(link);
    parts.addLink(source.id, { ...link, state: () => ({ ...link.state(), sinceMs, heardMs }) });
  }
  return {
    async whenOpen() {
      const isOpen = (): boolean => links.every((link) => link.state().state === 'open');
      for (let tries = 0; tries < OPEN_TRIES && !isOpen(); tries++)
        await new Promise<void>((settle) => realClock.after(OPEN_LOOK_MS, settle));
    },
    close: () =>
      new Promise<void>((settle) => {
        const cancel = realClock.after(CLOSE_PATIENCE_MS, settle);
        void Promise.all(links.map((link) => link.close())).then(() => {
          cancel();
          settle();
        });
      }),
  };
}
