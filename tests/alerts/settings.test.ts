import { describe, expect, test } from 'vitest';
import { RULE_KEYS, RULES, ruleOf } from '../../server/alerts/rules.ts';
import { type AlertSettings, checkSettings, createSetRules, mayWait } from '../../server/alerts/settings.ts';

const STATIONS = ['box', 'rig'];
const withRule = (row: Partial<AlertSettings['rules'][number]>): AlertSettings => ({
  quietHours: null,
  rules: [{ rule: 'heating-lost', station: null, ...row }],
});

describe('every rule as data', () => {
  test('has its row, usual figures within their limits, and delays that are not zero where a value may flicker', () => {
    expect(RULES.map(({ key }) => key).sort()).toEqual([...RULE_KEYS].sort());
    for (const { key, onDelayS, offDelayS, repeatS, level, deadband, heldBy } of RULES) {
      for (const guard of [onDelayS, offDelayS, repeatS, level, deadband])
        if (guard) {
          expect(guard.usual, key).toBeGreaterThanOrEqual(guard.least);
          expect(guard.usual, key).toBeLessThanOrEqual(guard.most);
        }
      if (key !== 'clock-stepped') expect(offDelayS.usual, key).toBeGreaterThanOrEqual(60);
      // Folding has no circles: nothing is held by what it holds.
      for (const holder of heldBy) expect(ruleOf(holder).heldBy, `${key} and ${holder}`).not.toContain(key);
    }
  });

  test('what may be damaging something never waits, cannot be held for long, and is said again', () => {
    for (const key of ['ceiling-passed', 'dryer-too-hot'] as const) {
      const rule = ruleOf(key);
      expect(rule.priority).toBe('high');
      expect(mayWait(rule)).toBe(false);
      expect(rule.onDelayS.most).toBeLessThanOrEqual(600);
      expect(rule.repeatS.least).toBeGreaterThan(0);
    }
  });
});

test.each([
  [withRule({ onDelayS: 1200 }), null],
  [withRule({ onDelayS: 10 }), 'outside 120 to 3600'],
  [withRule({ onDelayS: Number.NaN }), 'outside'],
  [withRule({ rule: 'ceiling-passed', repeatS: 0 }), 'outside 300 to 3600'],
  [withRule({ rule: 'filament-dry', level: 1 }), 'has no level'],
  [withRule({ rule: 'no-such' }), '"no-such" is no rule'],
  [withRule({ station: 'cellar' }), 'No station is called "cellar"'],
  [
    withRule({ rule: 'ceiling-passed', quietHours: { zone: 'UTC', from: '22:00', to: '07:00' } }),
    'never held back',
  ],
])('settings are checked %#', (settings, wrong) => {
  const found = checkSettings(settings, STATIONS);
  if (wrong === null) expect(found).toBeNull();
  else expect(found).toContain(wrong);
});

test('a place’s own setting goes before the common one, figure by figure; what was never checked is kept within limits', () => {
  const setRule = createSetRules({
    quietHours: null,
    rules: [
      { rule: 'heating-lost', station: null, onDelayS: 1200, level: 8 },
      { rule: 'heating-lost', station: 'box', onDelayS: 300, offDelayS: 1e9 },
    ],
  });
  expect(setRule({ rule: 'heating-lost', station: 'box' })).toMatchObject({
    onDelayMs: 300_000,
    offDelayMs: 3_600_000,
    level: 8,
  });
  expect(setRule({ rule: 'heating-lost', station: 'rig' })).toMatchObject({
    onDelayMs: 1_200_000,
    offDelayMs: 600_000,
  });
});
