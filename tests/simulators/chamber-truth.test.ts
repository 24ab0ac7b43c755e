import { describe, expect, it } from 'vitest';
import { drawChamberRun, steadyTruth } from '../../simulators/chamber-draw.ts';
import { heatNetwork } from '../../simulators/heat-network.ts';

const still = { dailySwingC: 0, wanderC: 0, wanderLnVapour: 0, weatherLnVapour: 0 };

describe('a heat network', () => {
  it('one node against a held one cools as exp(−G·t/C)', () => {
    const network = heatNetwork([1000, Number.POSITIVE_INFINITY], [80, 20]);
    network.join(0, 1, 2);
    for (let i = 0; i < 5000; i++) network.step(0.1);
    expect(network.temperatureC[0]).toBeCloseTo(20 + 60 * Math.exp(-1), 2);
  });

  it('comes to rest where resistances in series put it', () => {
    // 10 W through 1/2, 1/4 and 1/8 K/W to 20 °C.
    const network = heatNetwork([500, 500, 500, Number.POSITIVE_INFINITY], [20, 20, 20, 20]);
    network.join(0, 1, 2);
    network.join(1, 2, 4);
    network.join(2, 3, 8);
    network.powerW[0] = 10;
    for (let i = 0; i < 2000; i++) network.step(60);
    expect(network.temperatureC[2]).toBeCloseTo(20 + 10 / 8, 6);
    expect(network.temperatureC[1]).toBeCloseTo(20 + 10 / 8 + 10 / 4, 6);
    expect(network.temperatureC[0]).toBeCloseTo(20 + 10 / 8 + 10 / 4 + 10 / 2, 6);
  });

  it('loses no heat inside: a closed network keeps ΣC·T', () => {
    const heats = [300, 700, 1200];
    const network = heatNetwork(heats, [90, 20, 40]);
    network.join(0, 1, 3);
    network.join(1, 2, 1);
    network.join(0, 2, 0.5);
    const sum = () => heats.reduce((total, heat, i) => total + heat * network.temperatureC[i]!, 0);
    const before = sum();
    for (let i = 0; i < 1000; i++) network.step(20);
    expect(Math.abs(sum() - before)).toBeLessThan(1e-9 * before);
  });
});

describe('the simulated chamber', () => {
  it('ends where its own running-on says, air and frame', () => {
    for (const seed of [1, 2, 3]) {
      const { truth } = drawChamberRun({ seed, room: still });
      truth.step(3 * 3600);
      const early = truth.final();
      truth.step(45 * 3600);
      // The bed's ripple and the fourth-root law leave hundredths.
      expect(truth.airC).toBeCloseTo(early.airC, 0);
      expect(truth.frameC).toBeCloseTo(early.frameC, 0);
      expect(early.airC).toBeGreaterThan(truth.room.temperatureC + 8);
    }
  });

  it('takes one to eight hours to be steady within 1 °C, the frame behind the air', () => {
    for (let seed = 10; seed < 16; seed++) {
      const { steadyAtS } = steadyTruth({ seed, room: still, bedOnS: 0 }, 1, 16);
      expect(steadyAtS).not.toBeNull();
      expect(steadyAtS!).toBeGreaterThan(3600);
      expect(steadyAtS!).toBeLessThan(8 * 3600);
      const { truth } = drawChamberRun({ seed, room: still, bedOnS: 0 });
      truth.step(2 * 3600);
      expect(truth.frameC).toBeLessThan(truth.airC);
    }
  });

  it('a door cools the air at once and the frame hardly', () => {
    const { truth } = drawChamberRun({ seed: 4, room: still, doors: [{ fromS: 14_400, toS: 14_520 }] });
    truth.step(14_390);
    const before = { air: truth.airC, frame: truth.frameC };
    truth.step(120);
    expect(truth.doorOpen).toBe(true);
    expect(before.air - truth.airC).toBeGreaterThan(3);
    expect(before.frame - truth.frameC).toBeLessThan(1);
    truth.step(1800);
    expect(truth.doorOpen).toBe(false);
    expect(Math.abs(truth.airC - before.air)).toBeLessThan(2);
  });

  it('a fan moves where it will end; a bed switched off ends at the room', () => {
    const plain = drawChamberRun({ seed: 5, room: still }).truth;
    const fanned = drawChamberRun({ seed: 5, room: still, fan: { atS: 7200, addsWPerK: 1.5 } }).truth;
    plain.step(8000);
    fanned.step(7000);
    const without = fanned.final().airC;
    fanned.step(1000);
    expect(fanned.final().airC).toBeLessThan(without - 2);
    expect(without).toBeCloseTo(plain.final().airC, 1);
    const off = drawChamberRun({ seed: 5, room: still, bedOffS: 9000 }).truth;
    off.step(9100);
    // The bay's own warmth seeps in through the floor.
    expect(off.final().airC).toBeGreaterThan(off.room.temperatureC - 0.1);
    expect(off.final().airC).toBeLessThan(off.room.temperatureC + 5);
  });

  it('holds its bed at the target once there, never beyond the ripple', () => {
    const { truth, spec } = drawChamberRun({ seed: 6, bedTargetC: 100 });
    let hottest = 0;
    for (let i = 0; i < 720; i++) {
      truth.step(10);
      hottest = Math.max(hottest, truth.bedC);
    }
    expect(truth.bedC).toBeGreaterThan(100 - spec.bedRippleC - 0.5);
    expect(hottest).toBeLessThanOrEqual(100 + spec.bedRippleC + 1e-9);
  });
});
