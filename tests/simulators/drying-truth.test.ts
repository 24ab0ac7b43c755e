import { describe, expect, it } from 'vitest';
import { type DryingCase, drawDryingRun } from '../../simulators/drying-draw.ts';

const steady = { dailySwingC: 0, wanderC: 0, wanderLnVapour: 0, weatherLnVapour: 0 };

describe('the simulated drying box', () => {
  it('keeps its water to 1e-9 of what was there, at short and long calls, with lids, reel and pauses', () => {
    const story: DryingCase = {
      material: 'pa6',
      setTemperatureC: 80,
      seed: 12,
      reel: 'cardboard',
      lids: [
        { fromS: 7205, toS: 7333 },
        { fromS: 20_000, toS: 20_240 },
      ],
      heaterOff: [{ fromS: 30_000, toS: 33_000 }],
    };
    for (const dtS of [10, 600]) {
      const { truth } = drawDryingRun(story);
      const atFirst = truth.waterG();
      for (let s = 0; s < 10 * 3600; s += dtS) truth.step(dtS);
      expect(truth.givenAwayG()).toBeGreaterThan(2);
      expect(Math.abs(truth.waterG() + truth.givenAwayG() - atFirst)).toBeLessThan(1e-9 * atFirst);
    }
  });

  it('does not depend on how it is stepped', () => {
    const one = drawDryingRun({ material: 'pa12', setTemperatureC: 80, seed: 5 }).truth;
    const other = drawDryingRun({ material: 'pa12', setTemperatureC: 80, seed: 5 }).truth;
    for (let s = 0; s < 6 * 3600; s += 10) one.step(10);
    for (let s = 0; s < 6 * 3600; s += 3600) other.step(3600);
    expect(other.meanWtPercent()).toBeCloseTo(one.meanWtPercent(), 12);
    expect(other.room.temperatureC).toBe(one.room.temperatureC);
  });

  it('changes little when shells, rings and steps are refined', () => {
    const at = (shells: number, ringCount: number, dtS: number): number => {
      const { truth } = drawDryingRun({
        material: 'pa6',
        setTemperatureC: 80,
        seed: 3,
        shells,
        ringCount,
        lids: [],
      });
      for (let s = 0; s < 5 * 3600; s += dtS) truth.step(dtS);
      return truth.meanWtPercent();
    };
    // Doubling the shells draws other porosities, so a few per cent are the winding's, not the solver's.
    expect(at(16, 20, 10) / at(16, 10, 10)).toBeCloseTo(1, 2);
    expect(at(16, 10, 5) / at(16, 10, 10)).toBeCloseTo(1, 2);
    expect(at(32, 10, 10) / at(16, 10, 10)).toBeCloseTo(1, 1);
  });

  it('warms the core of a full kilogram in hours, as a wound spool does', () => {
    // Hand estimate: 1 kg polyamide, film 12 W/m²K, bed 0.12 W/mK: 35 min + 50 min time constants in series, so the
    // core has 63 % of the rise after 1–3 h (judgement, ±30 %; the spread of the draws is added).
    for (const seed of [21, 22, 23, 24]) {
      const { truth } = drawDryingRun({
        material: 'pa6',
        setTemperatureC: 80,
        seed,
        fill: 1,
        lids: [],
        heatAtS: 0,
        sideOffsetC: 0,
      });
      const startC = truth.coreC();
      let hours = 0;
      while (truth.coreC() < startC + 0.63 * (80 - startC) && hours < 12) {
        truth.step(60);
        hours += 1 / 60;
      }
      expect(hours).toBeGreaterThan(0.6);
      expect(hours).toBeLessThan(3);
    }
  });

  it('comes to rest at its own floor, and the room air is what sets it', () => {
    for (const rh of [30, 60]) {
      const { truth } = drawDryingRun({
        material: 'pc',
        setTemperatureC: 90,
        seed: 4,
        reel: 'plastic',
        lids: [],
        sideOffsetC: 0,
        storageRhPercent: 70,
        room: { ...steady, meanTemperatureC: 23, meanRhPercent: rh },
      });
      for (let h = 0; h < 30; h++) truth.step(3600);
      // The thermostat's swing moves the instant's floor by a few per cent about the mean.
      expect(truth.meanWtPercent() / truth.floorWtPercent()).toBeGreaterThan(0.85);
      expect(truth.meanWtPercent() / truth.floorWtPercent()).toBeLessThan(1.15);
    }
  });

  it('keeps vapour pressure when room air warms up: 23 °C, 50 %RH makes 4.5 %RH at 70 °C', () => {
    // Saturation 2811 Pa at 23 °C, 31 201 Pa at 70 °C (steam tables): 0.5·2811/31 201 = 4.50 %.
    const { truth } = drawDryingRun({
      material: 'pc',
      setTemperatureC: 70,
      seed: 9,
      reel: 'plastic',
      storageRhPercent: 5,
      lids: [],
      ventLPerMin: 40,
      room: { ...steady, meanTemperatureC: 23, meanRhPercent: 50 },
    });
    for (let h = 0; h < 16; h++) truth.step(3600);
    const rhAt70 = (truth.airVapourPa / 31_201) * 100;
    expect(rhAt70).toBeCloseTo(4.5, 1);
  });

  it('puts room air in through an open lid', () => {
    const { truth } = drawDryingRun({
      material: 'pa12',
      setTemperatureC: 80,
      seed: 6,
      lids: [{ fromS: 10_000, toS: 10_120 }],
    });
    truth.step(9_990);
    const before = { c: truth.airC, pa: truth.airVapourPa, open: truth.lidOpen };
    truth.step(90);
    expect(before.open).toBe(false);
    expect(truth.lidOpen).toBe(true);
    expect(truth.airC).toBeLessThan(before.c - 4);
    expect(Math.abs(truth.airVapourPa - truth.room.vapourPressurePa)).toBeLessThan(
      Math.abs(before.pa - truth.room.vapourPressurePa),
    );
    truth.step(1800);
    expect(truth.lidOpen).toBe(false);
    expect(truth.airC).toBeGreaterThan(75);
  });

  it('stops heating when the timer ends, and the spool then takes water back', () => {
    const { truth } = drawDryingRun({
      material: 'pla',
      setTemperatureC: 50,
      seed: 8,
      reel: 'plastic',
      storageRhPercent: 60,
      lids: [],
      heaterOff: [{ fromS: 8 * 3600, toS: Number.POSITIVE_INFINITY }],
      room: { ...steady, meanTemperatureC: 22, meanRhPercent: 60 },
    });
    truth.step(8 * 3600);
    const dried = truth.meanWtPercent();
    truth.step(24 * 3600);
    expect(truth.airC).toBeLessThan(23);
    expect(truth.meanWtPercent()).toBeGreaterThan(dried);
  });

  it('counts usable grams from the outside, and dries the outside first', () => {
    const { truth } = drawDryingRun({
      material: 'pa6',
      setTemperatureC: 80,
      seed: 31,
      innerRatio: 1.6,
      lids: [],
    });
    truth.step(6 * 3600);
    const profile = truth.shellWtPercent();
    const outer = profile[profile.length - 1]!;
    const inner = profile[0]!;
    expect(inner).toBeGreaterThan(1.2 * outer);
    expect(truth.wettestTurnWtPercent()).toBe(Math.max(...profile));
    expect(truth.outerGUnder(outer * 0.99)).toBe(0);
    expect(truth.outerGUnder(inner * 1.01)).toBeCloseTo(truth.dryMassG, 6);
    const half = truth.outerGUnder(0.5 * (inner + outer));
    expect(half).toBeGreaterThan(0.1 * truth.dryMassG);
    expect(half).toBeLessThan(0.9 * truth.dryMassG);
  });
});
