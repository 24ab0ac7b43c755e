/**
 * What waits for whom. It lies on the disk; where the disk will not have it, it is held in memory and sent all the same,
 * since "the disk is full" is itself something to be told. Better told twice than not at all.
 */
import type { Notice } from '../records.ts';
import { type Delivery, NEW_DELIVERY } from './delivery.ts';
import type { Hold, Waiting } from './plan.ts';

/** The store as far as this room needs it. Calls throw while the disk will not have them. */
export interface DiskBook {
  record(notices: readonly Addressed[]): void;
  waiting(receiver: string, nowMs: number, most: number): readonly Waiting[];
  hold(receiver: string): Hold | null;
  urgent(receiver: string): boolean;
  nextFaultMs(receiver: string): number | null;
  judge(receiver: string, judged: readonly Judged[]): void;
  release(receiver: string, which: 'faults' | 'all'): void;
  counts(receiver: string): Counts;
  log(receiver: string, most: number): readonly Waiting[];
}

export interface Addressed {
  readonly notice: Notice;
  readonly receivers: readonly string[];
}
export interface Judged {
  readonly number: number;
  readonly delivery: Delivery;
}
export interface Counts {
  readonly waiting: number;
  readonly faults: number;
  readonly crowdedOut: number;
  readonly lastSentMs: number | null;
}

export interface Book extends Omit<DiskBook, 'record'> {
  /** True: on the disk. False: held in memory. */
  record(notices: readonly Addressed[]): boolean;
}

/** Held a receiver while the disk is full; the oldest make room. */
export const MOST_IN_MEMORY = 200;

export function createBook(disk: DiskBook, onTrouble: (error: unknown) => void): Book {
  const held = new Map<string, Waiting[]>();
  /** Judged, but the disk would not have it: what it says of these is out of date. */
  const unsaved = new Map<string, Map<number, Delivery>>();
  /** Those in memory bear numbers below zero. */
  let nextNumber = -1;

  const orElse = <T>(ask: () => T, whenShut: T): T => {
    try {
      return ask();
    } catch (error) {
      onTrouble(error);
      return whenShut;
    }
  };
  const hold = (notice: Notice, receiver: string): void => {
    const list = held.get(receiver) ?? [];
    list.push({ number: nextNumber--, notice, delivery: NEW_DELIVERY });
    if (list.length > MOST_IN_MEMORY) list.shift();
    held.set(receiver, list);
  };
  const heldFor = (receiver: string): readonly Waiting[] => held.get(receiver) ?? [];
  /** Tries again what the disk would not have. */
  const save = (receiver: string): void => {
    const judged = unsaved.get(receiver);
    if (!judged || judged.size === 0) return;
    disk.judge(
      receiver,
      [...judged].map(([number, delivery]) => ({ number, delivery })),
    );
    unsaved.delete(receiver);
  };
  const retriesOf = (receiver: string): readonly Delivery[] =>
    [...heldFor(receiver).map(({ delivery }) => delivery), ...(unsaved.get(receiver)?.values() ?? [])].filter(
      ({ state }) => state === 'retry',
    );

  return {
    record(notices) {
      try {
        disk.record(notices);
        return true;
      } catch (error) {
        onTrouble(error);
        for (const { notice, receivers } of notices) for (const receiver of receivers) hold(notice, receiver);
        return false;
      }
    },
    waiting(receiver, nowMs, most) {
      orElse(() => save(receiver), undefined);
      const stale = unsaved.get(receiver);
      const kept = orElse(() => disk.waiting(receiver, nowMs, most + (stale?.size ?? 0)), []);
      const fresh = kept.flatMap((row) => {
        const delivery = stale?.get(row.number) ?? row.delivery;
        const over = delivery.state === 'sent' || (delivery.state === 'fault' && delivery.dueMs > nowMs);
        return over ? [] : [{ ...row, delivery }];
      });
      const ours = heldFor(receiver).filter(
        ({ delivery }) => delivery.state !== 'fault' || delivery.dueMs <= nowMs,
      );
      return [...fresh, ...ours].slice(0, most);
    },
    hold(receiver) {
      const kept = orElse(() => disk.hold(receiver), null);
      return [...retriesOf(receiver)].reduce<Hold | null>(
        (latest, { dueMs, code }) => (latest && latest.untilMs >= dueMs ? latest : { untilMs: dueMs, code }),
        kept,
      );
    },
    urgent: (receiver) =>
      heldFor(receiver).some(({ notice, delivery }) => delivery.tries === 0 && notice.priority === 'high') ||
      // Until its judgements are written the disk takes for untried what was tried.
      ((unsaved.get(receiver)?.size ?? 0) === 0 && orElse(() => disk.urgent(receiver), false)),
    nextFaultMs(receiver) {
      const kept = orElse(() => disk.nextFaultMs(receiver), null);
      const ours = heldFor(receiver).flatMap(({ delivery }) =>
        delivery.state === 'fault' ? [delivery.dueMs] : [],
      );
      const all = kept === null ? ours : [kept, ...ours];
      return all.length === 0 ? null : Math.min(...all);
    },
    judge(receiver, judged) {
      const ours = new Map(judged.map(({ number, delivery }) => [number, delivery]));
      held.set(
        receiver,
        heldFor(receiver).flatMap((row) => {
          const delivery = ours.get(row.number) ?? row.delivery;
          return delivery.state === 'sent' ? [] : [{ ...row, delivery }];
        }),
      );
      const stale = unsaved.get(receiver) ?? new Map<number, Delivery>();
      for (const { number, delivery } of judged) if (number >= 0) stale.set(number, delivery);
      unsaved.set(receiver, stale);
      orElse(() => save(receiver), undefined);
    },
    release(receiver, which) {
      const free = (delivery: Delivery): Delivery =>
        which === 'all' || delivery.state === 'fault' ? { ...delivery, dueMs: 0 } : delivery;
      held.set(
        receiver,
        heldFor(receiver).map((row) => ({ ...row, delivery: free(row.delivery) })),
      );
      for (const [number, delivery] of unsaved.get(receiver) ?? [])
        unsaved.get(receiver)?.set(number, free(delivery));
      orElse(() => disk.release(receiver, which), undefined);
    },
    counts(receiver) {
      const kept = orElse(() => disk.counts(receiver), {
        waiting: 0,
        faults: 0,
        crowdedOut: 0,
        lastSentMs: null,
      });
      return { ...kept, waiting: kept.waiting + heldFor(receiver).length };
    },
    log: (receiver, most) => orElse(() => disk.log(receiver, most), []),
  };
}
