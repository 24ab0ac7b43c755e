/**
 * Seeded randomness, handed in: the same station, spool and start give the same draws on every machine.
 * Sources: xoshiro128** 1.1 (Blackman & Vigna, ACM TOMS 47 (2021) 36), its state filled by splitmix32 from an FNV-1a
 * hash of the seed's text (Fowler, Noll, Vo; RFC 9923).
 */
import { normalQuantile } from './normal.ts';

/** Uniform on (0, 1), never either end. */
export type Uniform = () => number;

const rotl = (x: number, k: number): number => ((x << k) | (x >>> (32 - k))) >>> 0;

export function seededUniform(seed: string): Uniform {
  let hash = 0x811c9dc5;
  for (let i = 0; i < seed.length; i++) {
    hash ^= seed.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193) >>> 0;
  }
  const fill = (): number => {
    hash = (hash + 0x9e3779b9) >>> 0;
    let z = hash;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b) >>> 0;
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35) >>> 0;
    return (z ^ (z >>> 16)) >>> 0;
  };
  const s = [fill(), fill(), fill(), fill()] as [number, number, number, number];
  return () => {
    const result = Math.imul(rotl(Math.imul(s[1], 5) >>> 0, 7), 9) >>> 0;
    const t = (s[1] << 9) >>> 0;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotl(s[3] >>> 0, 11);
    return (result + 0.5) / 4294967296;
  };
}

/**
 * `rows` × `columns` standard normals in pairs of opposite sign (antithetic): the mean of the draws is exact and the
 * quantiles steadier than of as many free ones. `rows` must be even.
 */
export function antitheticNormals(uniform: Uniform, rows: number, columns: number): Float64Array {
  const draws = new Float64Array(rows * columns);
  for (let row = 0; row < rows; row += 2)
    for (let column = 0; column < columns; column++) {
      const value = normalQuantile(uniform());
      draws[row * columns + column] = value;
      draws[(row + 1) * columns + column] = -value;
    }
  return draws;
}
