/** The few things the page needs of the browser, in one place: time, timers, socket, fetch. */
import type { FeedWorld } from './bench-feed.ts';
import { type PostEntry, refusalOf } from './entries.ts';
import { ENTRY } from './words/spool.ts';

/** A hidden page is painted no more; its title is kept up at this pace. */
const HIDDEN_PACE_MS = 3000;

export function browserWorld(): FeedWorld {
  return {
    nowMs: () => performance.now(),
    random: () => Math.random(),
    after(ms, call) {
      const timer = setTimeout(call, ms);
      return () => clearTimeout(timer);
    },
    nextFrame(call) {
      if (document.hidden) setTimeout(call, HIDDEN_PACE_MS);
      else requestAnimationFrame(call);
    },
    openSocket(events) {
      const url = new URL('/api/live', location.href);
      url.protocol = url.protocol === 'https:' ? 'wss:' : 'ws:';
      const socket = new WebSocket(url);
      socket.addEventListener('message', (event) => {
        if (typeof event.data === 'string') events.message(event.data);
      });
      // An error is always followed by a close.
      socket.addEventListener('close', () => events.closed());
      return { close: () => socket.close() };
    },
    async fetchJson(path, cancelled) {
      const answer = await fetch(path, { signal: cancelled, headers: { accept: 'application/json' } });
      if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
      return answer.json();
    },
  };
}

/** Sends what a person entered, once: a repeat could count twice. */
export const postEntry: PostEntry = async (entry) => {
  try {
    const answer = await fetch('/api/entries', {
      method: 'POST',
      headers: { accept: 'application/json', 'content-type': 'application/json' },
      body: JSON.stringify(entry),
    });
    if (answer.ok) return { ok: true };
    const body: unknown = await answer.json().catch(() => null);
    return { ok: false, sentence: refusalOf(answer.status, body) };
  } catch {
    return { ok: false, sentence: ENTRY.noAnswer };
  }
};
