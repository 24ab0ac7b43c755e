/**
 * The page's end of the live socket: one owner, one socket, one timer. It opens, checks that no message is missing,
 * notices a socket that only looks alive, and comes back after a growing, jittered delay, so that a hundred pages do
 * not return in the same instant after a restart.
 *
 * Pure of the browser: it is handed the few things it needs of the world, so that a test runs an hour in a blink.
 */
import type { Change, LiveMessage, Snapshot } from '../server/api/messages.ts';

/** Silent for this long, a socket is dead however alive it looks: the server sends something at least every 5 s. */
export const WATCH_MS = 15_000;
/** First delay before coming back. */
export const FIRST_DELAY_MS = 500;
/** A person who plugs the server back in should not wait longer than this for the page. */
export const LONGEST_DELAY_MS = 15_000;

export interface LiveSocket {
  close(): void;
}
export interface SocketEvents {
  message(text: string): void;
  closed(): void;
}
export interface LiveWorld {
  openSocket(events: SocketEvents): LiveSocket;
  after(ms: number, call: () => void): () => void;
  /** Monotonic. */
  nowMs(): number;
  /** In [0, 1). */
  random(): number;
}

export interface LiveEvents {
  snapshot(snapshot: Snapshot): void;
  /** `jump` asks for a new snapshot. */
  change(change: Change): 'taken' | 'jump';
  /** Called once when what was live no longer is, and once when a first try fails. */
  lost(): void;
}

export interface Live {
  /** The page is looked at again, or the network is back: no waiting if something is amiss. */
  wake(): void;
  stop(): void;
}

/** Half to all of a delay that doubles with each failed try. */
export function retryDelayMs(failures: number, random: number): number {
  const wholeMs = Math.min(LONGEST_DELAY_MS, FIRST_DELAY_MS * 2 ** Math.min(failures, 10));
  return wholeMs * (0.5 + 0.5 * random);
}

export function readMessage(text: string): LiveMessage | null {
  try {
    const message: unknown = JSON.parse(text);
    if (typeof message !== 'object' || message === null) return null;
    const { type, sequence } = message as { type?: unknown; sequence?: unknown };
    if ((type !== 'snapshot' && type !== 'change') || typeof sequence !== 'number') return null;
    return message as LiveMessage;
  } catch {
    return null;
  }
}

export function startLive(world: LiveWorld, events: LiveEvents): Live {
  let socket: LiveSocket | null = null;
  let cancelTimer = (): void => {};
  let failures = 0;
  let hasSnapshot = false;
  let saidLost = false;
  let lastMessageMs = 0;
  let stopped = false;

  const arm = (ms: number, call: () => void): void => {
    cancelTimer();
    cancelTimer = world.after(ms, call);
  };

  const watch = (): void => {
    const silentMs = world.nowMs() - lastMessageMs;
    if (silentMs < WATCH_MS) {
      arm(WATCH_MS - silentMs, watch);
      return;
    }
    sayLost();
    open();
  };

  const sayLost = (): void => {
    if (saidLost) return;
    saidLost = true;
    events.lost();
  };

  const close = (): void => {
    const old = socket;
    // Forgotten first, so that its last words are not taken for those of its successor.
    socket = null;
    hasSnapshot = false;
    old?.close();
  };

  const fail = (): void => {
    close();
    sayLost();
    arm(retryDelayMs(failures++, world.random()), open);
  };

  function open(): void {
    if (stopped) return;
    close();
    lastMessageMs = world.nowMs();
    const own = world.openSocket({
      message(text) {
        if (own === socket) take(text);
      },
      closed() {
        if (own === socket) fail();
      },
    });
    socket = own;
    // An attempt that neither opens nor fails is given up like a silent socket.
    arm(WATCH_MS, () => (hasSnapshot ? watch() : fail()));
  }

  function take(text: string): void {
    lastMessageMs = world.nowMs();
    const message = readMessage(text);
    if (message === null) return;
    if (message.type === 'snapshot') {
      failures = 0;
      hasSnapshot = true;
      saidLost = false;
      events.snapshot(message);
      arm(WATCH_MS, watch);
    } else if (hasSnapshot && events.change(message) === 'jump') {
      close();
      // Not at once: a server that skips in every message must not be asked without end.
      arm(retryDelayMs(failures++, world.random()), open);
    }
  }

  open();
  return {
    wake() {
      if (stopped) return;
      const waiting = socket === null;
      const silent = hasSnapshot && world.nowMs() - lastMessageMs >= WATCH_MS;
      if (waiting || silent) open();
    },
    stop() {
      stopped = true;
      cancelTimer();
      close();
    },
  };
}
