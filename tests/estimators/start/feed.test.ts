import { describe, expect, it } from 'vitest';
import { moistureAt } from '../../../server/estimators/start/feed.ts';

const SHARES = [0.1, 0.13, 0.15, 0.18, 0.21, 0.23];

describe('moisture at a place of the spool', () => {
  it('a level spool is level everywhere', () => {
    for (let share = 0; share <= 1; share += 0.05)
      expect(moistureAt(share, new Array(6).fill(0.3), SHARES)).toBeCloseTo(0.3, 12);
  });

  it('gives each shell’s own value at its middle, outside first', () => {
    const moisture = [0.6, 0.5, 0.4, 0.3, 0.2, 0.1];
    let outside = 0;
    for (let i = 5; i >= 0; i--) {
      expect(moistureAt(outside + 0.5 * SHARES[i]!, moisture, SHARES)).toBeCloseTo(moisture[i]!, 9);
      outside += SHARES[i]!;
    }
  });

  it('never falls on the way in where the spool never does, and ends an eighth of a step above the innermost middle', () => {
    const moisture = [0.6, 0.5, 0.4, 0.3, 0.2, 0.1];
    let before = 0;
    for (let share = 0; share <= 1.0001; share += 0.01) {
      const w = moistureAt(share, moisture, SHARES);
      expect(w).toBeGreaterThanOrEqual(before - 1e-12);
      before = w;
    }
    expect(moistureAt(1, moisture, SHARES)).toBeCloseTo(0.6 + 0.1 / 8, 9);
  });
});
