/** Timing two pieces of work against each other: interleaved rounds by process CPU time, median of the ratios. */

export interface Measured {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly yardstick: string;
  /** value : yardstick, in the sense in which more is better unless `lessIsBetter`. */
  readonly ratio: number | null;
  readonly aim: string;
  readonly met: boolean;
}

export interface Compared {
  /** Median of units per second of each. */
  readonly ours: number;
  readonly yardstick: number;
  readonly ratio: number;
}

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
};

const perSecond = async (work: () => number | Promise<number>): Promise<number> => {
  const before = process.cpuUsage();
  const done = await work();
  const { user, system } = process.cpuUsage(before);
  return done / ((user + system) / 1e6);
};

/** Each `work` returns how many units it did; one round of each warms up. */
export async function compare(
  ours: () => number | Promise<number>,
  yardstick: () => number | Promise<number>,
  rounds = 15,
): Promise<Compared> {
  await ours();
  await yardstick();
  const pairs: [number, number][] = [];
  for (let i = 0; i < rounds; i++) pairs.push([await perSecond(ours), await perSecond(yardstick)]);
  return {
    ours: median(pairs.map(([a]) => a)),
    yardstick: median(pairs.map(([, b]) => b)),
    ratio: median(pairs.map(([a, b]) => a / b)),
  };
}
