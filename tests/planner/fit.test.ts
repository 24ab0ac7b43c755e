import { describe, expect, it } from 'vitest';
import { planFit, shareOfUptake } from '../../server/planner/fit.ts';
import { materialOf } from '../../server/planner/members.ts';
import { ask } from './ask.ts';

const grow = (raw: Record<string, unknown>) => planFit(ask('fit', raw));

describe('a part that takes up water', () => {
  it('grows as the makers of nylon say', () => {
    // Water and linear growth of dry-moulded parts in 50 %RH: PA66 2.5 % and 0.6 %, PA6 2.7 % and 0.6–0.7 % (design guides
    // for nylon, from memory); PA6 9 % and 2 % (intechpower, read), here at 95 %RH where it takes up some 8.3 %.
    const published: readonly (readonly [material: string, rh: number, growthPercent: number])[] = [
      ['pa66', 50, 0.6],
      ['pa6', 50, 0.65],
      ['pa6', 95, 1.85],
    ];
    for (const [material, roomRhPercent, growthPercent] of published) {
      const { growthMm } = grow({ material, roomRhPercent, roomC: 23, startWtPercent: 0, sizeMm: 100 });
      expect(growthMm.p05, material).toBeLessThan(growthPercent);
      expect(growthMm.p95, material).toBeGreaterThan(growthPercent);
      // Isotherm ±33 %, expansion 0.2–0.3: the middle within a fifth.
      expect(Math.abs(growthMm.p50 / growthPercent - 1), material).toBeLessThan(0.2);
    }
  });

  it('takes up in a day under water what a data sheet says of a 3.2 mm bar', () => {
    // PC, ASTM D570: 0.15 % in 24 h, 0.32 % in the end (LG-Dow data sheet): 0.47 of the way.
    const share = shareOfUptake([0, 86_400], materialOf('pc'), 1, 23, 0, 0.32, 3.2);
    expect(share[1]!).toBeGreaterThan(0.42);
    expect(share[1]!).toBeLessThan(0.52);
  });

  it('needs four times as long for a wall twice as thick', () => {
    const thin = grow({ material: 'abs', wallMm: 1.5 }).halfGrownS.p50!;
    const thick = grow({ material: 'abs', wallMm: 3 }).halfGrownS.p50!;
    expect(thick / thin).toBeCloseTo(4, 1);
  });

  it('leaves as clearance the larger end of the growth, and shrinks where the room is drier than the part', () => {
    const usual = grow({});
    expect(usual.clearanceMm).toBe(usual.growthMm.p95);
    const shrinking = grow({ startWtPercent: 5, roomRhPercent: 10 });
    expect(shrinking.growthMm.p95).toBeLessThan(0);
    expect(shrinking.clearanceMm).toBe(0);
  });

  it('says where no expansion is published, and keeps within the bound of added volumes', () => {
    const pla = grow({ material: 'pla', sizeMm: 100, startWtPercent: 0 });
    expect(pla.expansionKnown).toBe(false);
    expect(pla.notes.join()).toContain('Nobody has published');
    // ρ_p/(3·ρ_w): 1240 kg/m³ over 3000, % per wt %; a sixth more for direction.
    expect(pla.growthMm.p95).toBeLessThan(1.3 * 0.413 * pla.gainWtPercent.p95);
  });
});
