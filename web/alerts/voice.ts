/**
 * Calling out beside the page: a sound and the browser's own notifications, each only where a person asked for it in
 * this browser. What has been called is remembered by alarm and raise, so that a reload or a second message of the same
 * alarm calls nobody twice.
 */
import type { Alert } from '../../server/api/messages-alerts.ts';

export interface Wishes {
  readonly sound: boolean;
  readonly notices: boolean;
}
export const NO_WISHES: Wishes = { sound: false, notices: false };

export interface Callers {
  sound(): void;
  notice(title: string, body: string, tag: string): void;
}

/** Calls remembered; older ones are of alarms long over. */
const MOST_REMEMBERED = 200;

export interface Voice {
  /** The alerts as they are now; `quietly`: what is there already when a page opens calls nobody. */
  hear(alerts: readonly Alert[], wishes: Wishes, quietly: boolean): void;
}

const nameOf = ({ id, state, sinceMs }: Alert): string => `${id} ${state} ${sinceMs}`;

export function createVoice(callers: Callers): Voice {
  const called = new Set<string>();
  return {
    hear(alerts, wishes, quietly) {
      let loud = false;
      for (const alert of alerts) {
        if (alert.shelf !== null || (alert.state !== 'active' && alert.state !== 'true')) continue;
        const name = nameOf(alert);
        if (called.has(name)) continue;
        called.add(name);
        if (quietly) continue;
        loud ||= alert.priority === 'high';
        if (wishes.notices) callers.notice(alert.headline, `${alert.text} ${alert.advice}`, alert.id);
      }
      for (const name of called) {
        if (called.size <= MOST_REMEMBERED) break;
        called.delete(name);
      }
      if (loud && wishes.sound) callers.sound();
    },
  };
}
