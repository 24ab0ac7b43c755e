import { describe, expect, it } from 'vitest';
import { saturationDensityGPerM3 } from '../../server/physics/psychrometrics.ts';
import { reelTruth } from '../../simulators/reel-truth.ts';

const spec = {
  dryMassG: 200,
  at50WtPercent: 7,
  coreTimeS: 3600,
  airM3PerS: 1.8e-4,
  storedActivity: 0.5,
};

function rest(activity: number, temperatureC: number, hours: number): number {
  const reel = reelTruth(spec, temperatureC);
  const density = activity * saturationDensityGPerM3(temperatureC);
  for (let i = 0; i < hours * 60; i++) {
    reel.stepHeat(temperatureC, 60);
    reel.relate(60);
    reel.settle(density);
  }
  return (100 * reel.waterG()) / spec.dryMassG;
}

describe('a simulated cardboard reel', () => {
  it('rests where paper does: about 4, 7 and 11.6 wt % at 20, 50 and 85 %RH', () => {
    // Henderson's law through 7 % at 50 %RH; common figures for board, from memory, ±0.5.
    expect(Math.abs(rest(0.2, 23, 400) - 4)).toBeLessThan(0.5);
    expect(Math.abs(rest(0.5, 23, 400) - 7)).toBeLessThan(0.1);
    expect(Math.abs(rest(0.85, 23, 400) - 11.6)).toBeLessThan(0.5);
  });

  it('gives most of it up within hours when hot, and what it gives is what it says it gives', () => {
    expect(rest(0.04, 70, 8)).toBeLessThan(0.45 * 7);
    const reel = reelTruth(spec, 60);
    const before = reel.waterG();
    const density = 0.05 * saturationDensityGPerM3(60);
    let given = 0;
    for (let i = 0; i < 3600; i++) {
      reel.relate(10);
      given += 10 * (reel.out.out0 - reel.out.out1 * density);
      reel.settle(density);
    }
    expect(given).toBeGreaterThan(3);
    expect(Math.abs(before - reel.waterG() - given)).toBeLessThan(1e-9 * before);
  });
});
