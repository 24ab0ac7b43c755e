/**
 * What a client of the live socket is sent when it reads more slowly than the bench speaks: nothing more until it has
 * read on, then a fresh snapshot, which is the newest value of every key. So one that never reads costs one mark's worth
 * of memory, and after a while its connection. The decision is pure; live.ts carries it out.
 */

/** A socket as far as this file needs it. */
export interface Transport {
  /** Bytes handed over that the system has not taken yet. */
  buffered(): number;
  send(message: Buffer): void;
  drop(): void;
}

/** More than this waiting: the client is behind. With one message on top it stays well below 1 MB. */
export const HIGH_MARK_BYTES = 256 * 1024;
/** Less than this waiting: it has caught up. */
export const LOW_MARK_BYTES = 16 * 1024;
/** Behind for longer than this, it will not come back; the page opens a new socket when it does. */
export const DROP_AFTER_MS = 30_000;

export type SendDecision = 'send' | 'skip' | 'catch-up' | 'drop';

export function decideSend(bufferedBytes: number, behindSinceMs: number | null, nowMs: number): SendDecision {
  if (behindSinceMs === null) return bufferedBytes > HIGH_MARK_BYTES ? 'skip' : 'send';
  if (bufferedBytes <= LOW_MARK_BYTES) return 'catch-up';
  return nowMs - behindSinceMs >= DROP_AFTER_MS ? 'drop' : 'skip';
}

export interface Outbox {
  isBehind(): boolean;
  /** `snapshot` is asked for only when the client has caught up. */
  offer(message: Buffer, snapshot: () => Buffer, nowMs: number): SendDecision;
}

export function createOutbox(transport: Transport): Outbox {
  let behindSinceMs: number | null = null;
  return {
    isBehind: () => behindSinceMs !== null,
    offer(message, snapshot, nowMs) {
      const decision = decideSend(transport.buffered(), behindSinceMs, nowMs);
      switch (decision) {
        case 'send':
          transport.send(message);
          break;
        case 'skip':
          behindSinceMs ??= nowMs;
          break;
        case 'catch-up':
          behindSinceMs = null;
          transport.send(snapshot());
          break;
        case 'drop':
          transport.drop();
          break;
      }
      return decision;
    },
  };
}
