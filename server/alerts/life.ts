/**
 * One alarm's life, in the words of IEC 62682: normal, active, acknowledged (active and seen by a person), returned
 * (normal again and not seen yet). Shelved is a mark with an end beside the state; data that is missing is another mark,
 * and while it stands neither on-delay nor off-delay runs: only a fresh value raises or clears.
 *
 * Durations are summed from elapsed steady time, so that neither a stepped clock nor time spent switched off is ever
 * taken for a condition that held.
 */
import type { Priority } from '../records.ts';
import type { MissingReason } from './facts.ts';
import type { AlarmFinding, Mark, Words } from './finding.ts';

export type AlarmState = 'normal' | 'active' | 'acknowledged' | 'returned';

export interface Shelf {
  readonly sinceMs: number;
  readonly leftMs: number;
  readonly reason: string;
}

/** What was said of it since it was raised. */
export interface Told {
  readonly words: number;
  /** Steady time since the last word. */
  readonly agoMs: number;
  readonly detail: string;
}

export interface AlarmLife {
  readonly state: AlarmState;
  /** When it was last raised; names the raise. */
  readonly raisedMs: number | null;
  readonly returnedMs: number | null;
  readonly acknowledgedMs: number | null;
  /** How long its condition has been met, or been clear, towards on-delay or off-delay. */
  readonly towardsMs: number;
  /** The condition was met when last seen. */
  readonly met: boolean;
  readonly mark: Mark | null;
  readonly frozen: { readonly sinceMs: number; readonly reason: MissingReason | 'held' } | null;
  readonly shelf: Shelf | null;
  readonly told: Told | null;
  readonly detail: string;
  /** Where it is more pressing than its rule. */
  readonly priority: Priority | null;
  readonly sinceMs: number | null;
  readonly words: Words | null;
}

export const NEW_LIFE: AlarmLife = {
  state: 'normal',
  raisedMs: null,
  returnedMs: null,
  acknowledgedMs: null,
  towardsMs: 0,
  met: false,
  mark: null,
  frozen: null,
  shelf: null,
  told: null,
  detail: '',
  priority: null,
  sinceMs: null,
  words: null,
};

export type AlarmChange = 'raised' | 'returned' | 'cleared' | 'data-lost' | 'data-back' | 'shelf-ended';

export interface Step {
  readonly life: AlarmLife;
  readonly changes: readonly AlarmChange[];
}

export interface Delays {
  readonly onDelayMs: number;
  readonly offDelayMs: number;
}

export const isStanding = ({ state }: AlarmLife): boolean => state === 'active' || state === 'acknowledged';

/** Nothing to remember: as if it had never been. */
export const isIdle = (life: AlarmLife): boolean =>
  life.state === 'normal' && !life.met && life.shelf === null && life.told === null;

/** `elapsedMs`: steady time since the last step. */
export function stepAlarm(
  life: AlarmLife,
  finding: AlarmFinding,
  delays: Delays,
  elapsedMs: number,
  nowMs: number,
): Step {
  const changes: AlarmChange[] = [];
  let next = age(life, elapsedMs);
  if (life.shelf !== null && next.shelf === null) changes.push('shelf-ended');
  if (finding.kind === 'missing' || finding.kind === 'held') {
    const reason = finding.kind === 'held' ? 'held' : finding.reason;
    if (next.frozen?.reason !== reason) {
      if (finding.kind === 'missing' && isStanding(next)) changes.push('data-lost');
      next = { ...next, frozen: { sinceMs: next.frozen?.sinceMs ?? nowMs, reason } };
    }
    return { life: next, changes };
  }
  if (next.frozen !== null) {
    if (next.frozen.reason !== 'held' && isStanding(next)) changes.push('data-back');
    next = { ...next, frozen: null };
  }
  const standing = isStanding(next);
  if (finding.kind === 'met') {
    const { words, detail } = finding;
    const sinceMs = finding.sinceMs ?? next.sinceMs ?? nowMs;
    const towardsMs = standing ? 0 : next.met ? next.towardsMs + elapsedMs : 0;
    const mark = next.mark ?? finding.mark ?? null;
    next = {
      ...next,
      met: true,
      towardsMs,
      mark,
      words,
      detail,
      sinceMs,
      priority: finding.priority ?? null,
    };
    if (!standing && towardsMs >= delays.onDelayMs) {
      next = {
        ...next,
        state: 'active',
        raisedMs: nowMs,
        returnedMs: null,
        acknowledgedMs: null,
        towardsMs: 0,
      };
      changes.push('raised');
    }
    return { life: next, changes };
  }
  if (!standing)
    // The words of one that has returned are still of use; of one that was never raised they are not.
    return {
      life: next.met
        ? {
            ...next,
            met: false,
            towardsMs: 0,
            mark: null,
            ...(next.state === 'normal' && next.told === null ? { words: null, sinceMs: null } : {}),
          }
        : next,
      changes,
    };
  const towardsMs = next.met ? 0 : next.towardsMs + elapsedMs;
  next = { ...next, met: false, towardsMs };
  if (towardsMs < delays.offDelayMs) return { life: next, changes };
  const seen = next.state === 'acknowledged';
  changes.push(seen ? 'cleared' : 'returned');
  return {
    life: {
      ...next,
      state: seen ? 'normal' : 'returned',
      returnedMs: nowMs,
      towardsMs: 0,
      mark: null,
      sinceMs: null,
    },
    changes,
  };
}

/** Lets what only passes with time pass: the shelf, and how long ago it was told. */
function age(life: AlarmLife, elapsedMs: number): AlarmLife {
  if (elapsedMs <= 0 || (life.shelf === null && life.told === null)) return life;
  const leftMs = life.shelf === null ? 0 : life.shelf.leftMs - elapsedMs;
  return {
    ...life,
    shelf: life.shelf !== null && leftMs > 0 ? { ...life.shelf, leftMs } : null,
    told: life.told && { ...life.told, agoMs: life.told.agoMs + elapsedMs },
  };
}

/** A person has seen it. Null: there is nothing to acknowledge. */
export function acknowledge(life: AlarmLife, nowMs: number): AlarmLife | null {
  if (life.state === 'active') return { ...life, state: 'acknowledged', acknowledgedMs: nowMs };
  if (life.state === 'returned') return { ...life, state: 'normal', acknowledgedMs: nowMs };
  return null;
}

export const shelve = (life: AlarmLife, forMs: number, reason: string, nowMs: number): AlarmLife => ({
  ...life,
  shelf: { sinceMs: nowMs, leftMs: forMs, reason },
});

/** Null: it is not shelved. */
export const unshelve = (life: AlarmLife): AlarmLife | null => (life.shelf ? { ...life, shelf: null } : null);

/** Time spent switched off counts for a shelf, whose end was promised by the clock, and for nothing else. */
export function afterDowntime(life: AlarmLife, downMs: number): AlarmLife {
  if (life.shelf === null || downMs <= 0) return life;
  const leftMs = life.shelf.leftMs - downMs;
  return { ...life, shelf: leftMs > 0 ? { ...life.shelf, leftMs } : null };
}
