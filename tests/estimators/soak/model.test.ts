import { describe, expect, it } from 'vitest';
import { type Chamber, finalNodes, stepChamber, stepForced } from '../../../server/estimators/soak/model.ts';

const chamber = (given: Partial<Chamber>): Chamber => ({
  bed: 0.2,
  leak: 0.05,
  frame: 0.3,
  floor: 0,
  wallLoss: 0.5,
  frameLoss: 0.3,
  floorLoss: 0.5,
  wallTimeS: 800,
  frameTimeS: 6000,
  floorTimeS: 9000,
  ...given,
});

describe('the reduced chamber', () => {
  it('ends where conductances in series put it: worked by hand', () => {
    // No frame: bed 0.25 to the air; out by leak 0.05 and by walls, 1 and 1 in series = 0.5. 0.25·(100 − T) = 0.55·(T − 20).
    const end = finalNodes(chamber({ bed: 0.25, frame: 0, wallLoss: 1 }), 100, 20);
    expect(end.airC).toBeCloseTo((0.25 * 100 + 0.55 * 20) / 0.8, 9);
    expect(end.wallC).toBeCloseTo(0.5 * (end.airC + 20), 9);
  });

  it('comes to its own end when run on, frame convection and all', () => {
    const body = chamber({ floor: 0.1 });
    const nodes = { airC: 20, wallC: 20, frameC: 20, floorC: 20 };
    for (let i = 0; i < 6000; i++) stepChamber(body, nodes, 120, 95, 20);
    const end = finalNodes(body, 95, 20);
    expect(nodes.airC).toBeCloseTo(end.airC, 2);
    expect(nodes.frameC).toBeCloseTo(end.frameC, 2);
    expect(nodes.floorC).toBeCloseTo(end.floorC, 2);
  });

  it('steps as a fine explicit Euler does, all three nodes together: the equations written out once more', () => {
    const body = chamber({ floor: 0.12, leak: 0.08 });
    const nodes = { airC: 20, wallC: 20, frameC: 20, floorC: 20 };
    let [air, wall, frame, floor] = [20, 20, 20, 20];
    const c = (k: number): number => Math.max(0.5, (Math.abs(k) / 20) ** 0.25);
    for (let i = 0; i < 90; i++) {
      stepChamber(body, nodes, 120, 95, 22);
      for (let j = 0; j < 1200; j++) {
        const [cf, cs] = [c(air - frame), c(air - floor)];
        const [gf, gs] = [body.frame * cf, body.floor * cs];
        air = (0.2 * 95 + 0.08 * 22 + wall + gf * frame + gs * floor) / (0.2 + 0.08 + 1 + gf + gs);
        wall += (0.1 / 800) * (air - wall - 0.5 * (wall - 22));
        frame += (0.1 / 6000) * (cf * (air - frame) - 0.3 * (frame - 22));
        floor += (0.1 / 9000) * (cs * (air - floor) - 0.5 * (floor - 22));
      }
    }
    expect(nodes.airC).toBeCloseTo(air, 1);
    expect(nodes.wallC).toBeCloseTo(wall, 1);
    expect(nodes.frameC).toBeCloseTo(frame, 1);
    expect(nodes.floorC).toBeCloseTo(floor, 1);
  });

  it('one node follows 1 − exp(−t/τ): the closed form of a wall behind air that follows at once', () => {
    // Air = (g·Tb + Tw)/(1 + g): τ·dT/dt = g/(1 + g)·(Tb − T), so the time is τ·(1 + g)/g.
    const body = chamber({ bed: 0.5, leak: 0, frame: 0, wallLoss: 0, wallTimeS: 600 });
    const nodes = { airC: 20, wallC: 20, frameC: 20, floorC: 20 };
    for (let i = 0; i < 30; i++) stepChamber(body, nodes, 60, 80, 20);
    expect(nodes.wallC).toBeCloseTo(20 + 60 * (1 - Math.exp(-1800 / 1800)), 2);
  });

  it('forced by a measured air, a wall relaxes to between air and room', () => {
    const body = chamber({ wallLoss: 1, wallTimeS: 500 });
    const nodes = { airC: 40, wallC: 20, frameC: 20, floorC: 20 };
    stepForced(body, nodes, 250, 40, 20);
    expect(nodes.wallC).toBeCloseTo(30 - 10 * Math.exp(-1), 9);
    expect(nodes.airC).toBe(40);
  });

  it('the frame’s last degrees take longer than an exponential would: natural convection dies with its difference', () => {
    const body = chamber({ bed: 5, leak: 0, wallLoss: 0, frameLoss: 0, frame: 0.01, frameTimeS: 3000 });
    const nodes = { airC: 60, wallC: 60, frameC: 45, floorC: 60 };
    const lag: number[] = [];
    for (let i = 0; i <= 200; i++) {
      if (i === 50 || i === 100 || i === 150) lag.push(60 - nodes.frameC);
      stepChamber(body, nodes, 60, 60, 20);
    }
    expect(lag[2]! / lag[1]!).toBeGreaterThan(1.03 * (lag[1]! / lag[0]!));
  });
});
