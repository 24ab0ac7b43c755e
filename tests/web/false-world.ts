/** A browser that stands still until told: sockets that a test opens and ends, timers that a test lets pass. */
import type { LiveWorld, SocketEvents } from '../../web/live.ts';

export interface FalseSocket extends SocketEvents {
  readonly openedMs: number;
  closedByPage: boolean;
}

export interface FalseWorld extends LiveWorld {
  readonly sockets: FalseSocket[];
  readonly newest: () => FalseSocket;
  pass(ms: number): void;
  randomNext: number;
}

export function falseWorld(): FalseWorld {
  let nowMs = 0;
  const timers = new Map<symbol, { dueMs: number; call: () => void }>();
  const sockets: FalseSocket[] = [];
  const world: FalseWorld = {
    sockets,
    randomNext: 0,
    newest: () => sockets[sockets.length - 1]!,
    nowMs: () => nowMs,
    random: () => world.randomNext,
    after(ms, call) {
      const name = Symbol();
      timers.set(name, { dueMs: nowMs + ms, call });
      return () => {
        timers.delete(name);
      };
    },
    openSocket(events) {
      const socket: FalseSocket = { ...events, openedMs: nowMs, closedByPage: false };
      sockets.push(socket);
      return {
        close() {
          socket.closedByPage = true;
        },
      };
    },
    pass(ms) {
      const endMs = nowMs + ms;
      for (;;) {
        const due = [...timers]
          .filter(([, timer]) => timer.dueMs <= endMs)
          .sort((a, b) => a[1].dueMs - b[1].dueMs)[0];
        if (!due) break;
        timers.delete(due[0]);
        nowMs = Math.max(nowMs, due[1].dueMs);
        due[1].call();
      }
      nowMs = endMs;
    },
  };
  return world;
}
