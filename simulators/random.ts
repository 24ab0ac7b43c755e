/**
 * Seeded random numbers: the same seed gives the same story on every machine.
 *
 * Generator: sfc32, "small fast counting", 128 bits of state, from C. Doty-Humphrey's PractRand; seeded through
 * splitmix32 (the 32-bit finaliser of MurmurHash3 over a Weyl sequence). Normal numbers by Marsaglia's polar form of
 * Box and Muller (1958). All from memory; the tests check the statistics, not the bit pattern.
 */
export interface Random {
  /** Uniform in [0, 1), 32 bits. */
  next(): number;
  uniform(low: number, high: number): number;
  /** Uniform in the logarithm. Both ends positive. */
  logUniform(low: number, high: number): number;
  normal(mean: number, sd: number): number;
  /** exp(N(ln median, sdLn)). */
  logNormal(median: number, sdLn: number): number;
  exponential(mean: number): number;
  /** Whole number in [0, count). */
  below(count: number): number;
  chance(probability: number): boolean;
  /** A stream of its own, named: draws from it do not move this one. */
  fork(name: string): Random;
}

function mix(word: number): number {
  let w = word | 0;
  w = Math.imul(w ^ (w >>> 16), 0x85ebca6b);
  w = Math.imul(w ^ (w >>> 13), 0xc2b2ae35);
  return (w ^ (w >>> 16)) >>> 0;
}

/** FNV-1a over the characters, so that a name makes a stream. */
function hashName(name: string, start: number): number {
  let hash = (0x811c9dc5 ^ start) >>> 0;
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193) >>> 0;
  return mix(hash);
}

export function seededRandom(seed: number): Random {
  let weyl = mix(seed);
  const word = (): number => {
    weyl = (weyl + 0x9e3779b9) | 0;
    return mix(weyl);
  };
  let a = word();
  let b = word();
  let c = word();
  let counter = 1;
  let spare = Number.NaN;
  const bits = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  };
  // The state needs some rounds before close seeds part.
  for (let i = 0; i < 15; i++) bits();

  const next = (): number => bits() / 0x1_0000_0000;
  const standardNormal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * next() - 1;
      const v = 2 * next() - 1;
      const s = u * u + v * v;
      if (s > 0 && s < 1) {
        const scale = Math.sqrt((-2 * Math.log(s)) / s);
        spare = v * scale;
        return u * scale;
      }
    }
  };
  const uniform = (low: number, high: number): number => low + (high - low) * next();
  return {
    next,
    uniform,
    logUniform: (low, high) => Math.exp(uniform(Math.log(low), Math.log(high))),
    normal: (mean, sd) => mean + sd * standardNormal(),
    logNormal: (median, sdLn) => median * Math.exp(sdLn * standardNormal()),
    exponential: (mean) => -mean * Math.log(1 - next()),
    below: (count) => Math.floor(next() * count),
    chance: (probability) => next() < probability,
    fork: (name) => seededRandom(hashName(name, seed)),
  };
}
