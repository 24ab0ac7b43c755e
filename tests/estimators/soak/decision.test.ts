import { describe, expect, it } from 'vitest';
import { decideSteady, type SteadyFacts } from '../../../server/estimators/soak/decision.ts';

const QUIET: SteadyFacts = {
  pSteady: [0.92, 0.92, 0.92, 0.92],
  slopeCPer10Min: 0.1,
  driftLimitCPer10Min: 0.5,
  heat: 'on',
  quiet: 'quiet',
  meanSquare: 0.3,
  settledBlocks: 9,
};

describe('steady is called', () => {
  it('by the mean of four refits: one lucky one among them calls nothing', () => {
    expect(decideSteady(false, QUIET)).toBe('called');
    expect(decideSteady(false, { ...QUIET, pSteady: [0.6, 0.7, 0.8, 0.99] })).toBe('not-steady');
    expect(decideSteady(false, { ...QUIET, pSteady: [0.2, 0.88, 0.91, 0.93, 0.96] })).toBe('called');
  });

  it('not from fewer refits than four, as after a fan or vent changed', () => {
    expect(decideSteady(false, { ...QUIET, pSteady: [] })).toBe('not-steady');
    expect(decideSteady(false, { ...QUIET, pSteady: [0.99, 0.99, 0.99] })).toBe('not-steady');
  });

  it('from a fit that the readings contradict only once the air hardly drifts', () => {
    expect(decideSteady(false, { ...QUIET, meanSquare: 7.5, slopeCPer10Min: 0.05 })).toBe('called');
  });

  it('not with heat off, a door open, an unsettled change, a drift, no slope, or a contradicted fit while it still climbs', () => {
    for (const change of [
      { heat: 'off' },
      { quiet: 'door' },
      { quiet: 'straying' },
      { settledBlocks: 4 },
      { slopeCPer10Min: 0.6 },
      { slopeCPer10Min: -0.6 },
      { slopeCPer10Min: null },
      { meanSquare: 7.5, slopeCPer10Min: 0.2 },
    ] as const)
      expect(decideSteady(false, { ...QUIET, ...change })).toBe('not-steady');
  });
});

describe('steady is taken back', () => {
  it('by the latest refit alone, not by the mean', () => {
    expect(decideSteady(true, { ...QUIET, pSteady: [0.95, 0.95, 0.95, 0.65] })).toBe('still-steady');
    expect(decideSteady(true, { ...QUIET, pSteady: [0.95, 0.95, 0.95, 0.55] })).toBe('taken-back');
    expect(decideSteady(true, { ...QUIET, pSteady: [] })).toBe('taken-back');
  });

  it('at a drift half as large again as the one it was called at', () => {
    expect(decideSteady(true, { ...QUIET, slopeCPer10Min: 0.7 })).toBe('still-steady');
    expect(decideSteady(true, { ...QUIET, slopeCPer10Min: 0.8 })).toBe('taken-back');
  });
});
