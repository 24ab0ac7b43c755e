/** When a spool is called dry, and when that is taken back. */
import { describe, expect, it } from 'vitest';
import { DRY_REFITS, type DryCall, decide } from '../../../server/estimators/drying/decision.ts';

const begun = (): DryCall => ({ dryRefits: 0, dryCalledS: null, fittedS: 7200 });
const decideAll = (call: DryCall, pDrys: readonly number[]) => pDrys.map((pDry) => decide(call, { pDry }));
const held = (refits: number): number[] => Array.from({ length: refits }, () => 0.93);

describe('the call', () => {
  it('takes nine in ten for an hour and a half, without a break', () => {
    const call = begun();
    const found = decideAll(call, [...held(DRY_REFITS - 1), 0.89, ...held(DRY_REFITS)]);
    expect(found.indexOf('called')).toBe(found.length - 1);
    expect(DRY_REFITS * 10).toBe(90);
    expect(call.dryCalledS).toBe(7200);
  });

  it('stands while it is likelier than not, and is taken back below', () => {
    const call = begun();
    decideAll(call, held(DRY_REFITS));
    expect(decideAll(call, [0.55, 0.45])).toEqual(['still-dry', 'taken-back']);
    expect(call.dryCalledS).toBeNull();
    expect(decideAll(call, held(1))).toEqual(['not-dry']);
  });
});
