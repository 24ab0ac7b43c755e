/** A queue of things that happened, to be waited for with a deadline. */
const PATIENCE_MS = 15_000;

export interface Happened<T> {
  push(one: T): void;
  /** The next that was not yet taken; fails after the deadline. */
  next(what?: string): Promise<T>;
  readonly all: readonly T[];
}

export function happenings<T>(): Happened<T> {
  const all: T[] = [];
  let taken = 0;
  let waiting: (() => void)[] = [];
  return {
    all,
    push(one) {
      all.push(one);
      const woken = waiting;
      waiting = [];
      for (const wake of woken) wake();
    },
    async next(what = 'what should have happened') {
      const mine = taken++;
      while (all.length <= mine)
        await new Promise<void>((settle, fail) => {
          const deadline = setTimeout(() => fail(new Error(`waited in vain for ${what}`)), PATIENCE_MS);
          waiting.push(() => {
            clearTimeout(deadline);
            settle();
          });
        });
      return all[mine] as T;
    },
  };
}
