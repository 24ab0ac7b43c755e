import { describe, expect, it } from 'vitest';
import { createPaths, crossingS } from '../../server/planner/curve.ts';
import { planLieOut, wetFilament } from '../../server/planner/lie-out.ts';
import { materialOf } from '../../server/planner/members.ts';
import { ask } from './ask.ts';

const lieOut = (raw: Record<string, unknown>) => planLieOut(ask('lie-out', raw));

describe('a spool that lies out', () => {
  it('comes level with what has been published at room temperature', () => {
    // Moisture at 23 °C and a humidity: Toray Amilan technical pages tec_003, tec_007 (PA6); Mettler-Toledo TGA-Sorption
    // of PA6 (8.3 % at 95 %RH); Materials 16 (2023) 938 (ABS filament).
    const published: readonly (readonly [material: string, rh: number, wtPercent: number])[] = [
      ['pa6', 60, 3.5],
      ['pa6', 95, 8.3],
      ['abs', 10, 0.05],
    ];
    for (const [material, roomRhPercent, wtPercent] of published) {
      const { levelWtPercent } = lieOut({ material, roomRhPercent, roomC: 23, startWtPercent: 0.01 });
      expect(levelWtPercent.p05, material).toBeLessThan(wtPercent);
      expect(levelWtPercent.p95, material).toBeGreaterThan(wtPercent);
      // The middle within the scatter of crystallinity, a quarter.
      expect(Math.abs(levelWtPercent.p50 / wtPercent - 1), material).toBeLessThan(0.25);
    }
  });

  it('wets its outermost turn as Crank’s cylinder does where D is constant', () => {
    // Polycarbonate at 23 °C: D does not depend on moisture. x = D·t/a² at 10 and 50 % of the way (Crank, ch. 5).
    const material = materialOf('pc');
    const times = Array.from({ length: 4001 }, (_, i) => i * 20);
    for (const [fraction, x] of [
      [0.1, 0.002045],
      [0.5, 0.063058],
    ] as const) {
      const into = createPaths(times, 1);
      wetFilament(material, 1, 23, 0, 0.16, into, 0);
      const expectedS = (x * 0.000875 ** 2) / material.diffusivityM2PerS;
      const foundS = crossingS(into, 0, 0.16 * fraction, 'rising');
      // Straight lines over steps of 20 s.
      expect(Math.abs(foundS! / expectedS - 1), `${fraction}`).toBeLessThan(0.01);
    }
  });

  it('passes the limit outside first, and sooner in a damper room', () => {
    const dryRoom = lieOut({ roomRhPercent: 30 });
    const dampRoom = lieOut({ roomRhPercent: 70 });
    for (const { outerPassesS, meanPassesS } of [dryRoom, dampRoom]) {
      expect(outerPassesS.p50!).toBeLessThan(meanPassesS.p50!);
      expect(outerPassesS.p05!).toBeLessThan(outerPassesS.p50!);
      expect(outerPassesS.p50!).toBeLessThan(outerPassesS.p95!);
    }
    expect(dampRoom.outerPassesS.p50!).toBeLessThan(0.5 * dryRoom.outerPassesS.p50!);
    expect(dampRoom.meanPassesS.p50!).toBeLessThan(dryRoom.meanPassesS.p50!);
  });

  it('says never where the room cannot take it there, and nothing better where it is over already', () => {
    const desert = lieOut({ material: 'abs', roomRhPercent: 5, startWtPercent: 0.01 });
    expect(desert.outerPassesS).toEqual({
      p05: null,
      p50: null,
      p95: null,
      reason: { p05: 'never', p50: 'never', p95: 'never' },
    });
    const over = lieOut({ startWtPercent: 0.5 });
    expect(over.outerPassesS.p50).toBe(0);
    expect(over.notes.join()).toContain('over the limit before');
  });

  it('is the same answer to the bit, and moves when any blank moves', () => {
    const first = lieOut({});
    expect(lieOut({})).toEqual(first);
    for (const [name, value] of Object.entries({
      netMassG: 500,
      material: 'pa66',
      startWtPercent: 0.12,
      roomC: 23,
      roomRhPercent: 50,
      limitWtPercent: 0.21,
    })) {
      const { outerPassesS, meanPassesS } = lieOut({ [name]: value });
      expect({ outerPassesS, meanPassesS }, name).not.toEqual({
        outerPassesS: first.outerPassesS,
        meanPassesS: first.meanPassesS,
      });
    }
  });
});
