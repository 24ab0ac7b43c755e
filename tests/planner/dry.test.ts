import { describe, expect, it } from 'vitest';
import { planDry } from '../../server/planner/dry.ts';
import { drawDryingRun } from '../../simulators/drying-draw.ts';
import { ask } from './ask.ts';

const dry = (raw: Record<string, unknown>) => planDry(ask('dry', raw));

describe('what-if drying', () => {
  it('holds the simulated truth in its band nine times in ten, for a start that is known', () => {
    // The simulators are a finer and separate model: rings in each turn, hysteresis, a winding of its own porosity.
    let inside = 0;
    const seeds = Array.from({ length: 14 }, (_, i) => 700 + i);
    for (const seed of seeds) {
      const { truth, stated } = drawDryingRun({
        material: 'pa6',
        setTemperatureC: 85,
        seed,
        lids: [],
        reel: 'plastic',
      });
      const startWtPercent = truth.meanWtPercent();
      const plan = dry({
        material: 'pa6',
        netMassG: stated.netMassG,
        stored: 'weighed',
        startWtPercent,
        boxC: 85,
        roomC: truth.room.temperatureC,
        roomRhPercent: truth.room.rhPercent,
        limitWtPercent: 0.3,
      });
      let dryS: number | null = null;
      for (let s = 0; s < 7 * 86_400 && dryS === null; s += 1800) {
        truth.step(1800);
        // The story’s heater goes on after ten minutes.
        if (truth.meanWtPercent() < 0.3) dryS = s + 1800 - 600;
      }
      const { p05, p95 } = plan.dryAfterS;
      const rank = (seconds: number | null): number => seconds ?? Number.POSITIVE_INFINITY;
      if (rank(dryS) >= rank(p05) - 1800 && rank(dryS) <= rank(p95)) inside++;
    }
    // 14 at 0.9: fewer than 10 has a chance of 4 in 1000; and a band that holds all is not thereby right (next test).
    expect(inside).toBeGreaterThanOrEqual(10);
  }, 120_000);

  it('is no wider than a factor six for a start that is known', () => {
    const { dryAfterS } = dry({ stored: 'weighed', startWtPercent: 1, boxC: 80, roomRhPercent: 30 });
    expect(dryAfterS.p95! / dryAfterS.p05!).toBeLessThan(6);
    expect(dryAfterS.p95! / dryAfterS.p05!).toBeGreaterThan(1.5);
  });

  it('finds the floor of room air that is only heated', () => {
    // 23 °C/50 %RH heated to 70 °C is at 4.5 %RH (saturation 2810 and 31 200 Pa in any steam table); nylon 6 holds
    // some 0.2 % there: the resin guides’ limit (Toray tec_007: 0.15–0.2 %).
    const { floorWtPercent, pNever } = dry({ boxC: 70, roomC: 23, roomRhPercent: 50 });
    expect(floorWtPercent!.p50).toBeGreaterThan(0.15);
    expect(floorWtPercent!.p50).toBeLessThan(0.3);
    expect(pNever).toBeGreaterThan(0.2);
    expect(pNever).toBeLessThan(0.9);
  });

  it('agrees with makers’ drying times for granules of polymers that dry fast, to their own scatter', () => {
    // PC 100–120 °C, 3–4 h to 0.02 % (moulding sheets: imtechdesign, Iupilon). A spool is larger than a granule and its
    // winding a small hindrance here, so the maker’s span must meet the band.
    const { dryAfterS } = dry({ material: 'pc', boxC: 115, stored: 'room', limitWtPercent: 0.02 });
    expect(dryAfterS.p05!).toBeLessThan(4 * 3600);
    expect(dryAfterS.p95!).toBeGreaterThan(3 * 3600);
  });

  it('is sooner when hotter, and later or never in damper air', () => {
    const at = (raw: Record<string, unknown>): number => dry(raw).dryAfterS.p50 ?? Number.POSITIVE_INFINITY;
    expect(at({ boxC: 85 })).toBeLessThan(at({ boxC: 75 }));
    expect(at({ boxC: 80, roomRhPercent: 25 })).toBeLessThan(at({ boxC: 80, roomRhPercent: 50 }));
    expect(at({ boxC: 80, supply: 'desiccant' })).toBeLessThan(at({ boxC: 80 }));
    expect(at({ boxC: 50, roomRhPercent: 60 })).toBe(Number.POSITIVE_INFINITY);
  });

  it('warns of a box hotter than a spool bears, and of one that is closed', () => {
    expect(dry({ material: 'petg', boxC: 80 }).notes.join()).toContain('65 °C that the table allows');
    const closed = dry({ supply: 'closed' });
    expect(closed.floorWtPercent).toBeNull();
    expect(closed.notes.join()).toContain('must be vented');
  });
});
