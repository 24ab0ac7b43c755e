import { describe, expect, test } from 'vitest';
import { comingAlarms, countText } from '../../web/alerts/alert-list.ts';
import { HEATING, PASSED } from '../browser/invented-alerts.ts';
import { BOX, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';

const QUIET = { ...BOX, quiet: true, heardMs: NOW_MS - 40_000 };
const alarm = (rule: string, station: string | null) => ({ ...HEATING, rule, station });

describe('while an alarm waits out its delay', () => {
  test('a quiet station is said to be on its way into the list, and the list not to be empty for good', () => {
    const coming = comingAlarms([QUIET, RIG, ROOM], []);
    expect(coming).toEqual(['The drying box is quiet: an alarm once that has lasted its delay.']);
    expect(countText([], coming.length > 0)).toBe('none yet');
    expect(countText([])).toBe('none');
  });

  test('no more once it is raised, for the station or for its board', () => {
    expect(comingAlarms([QUIET], [alarm('station-quiet', 'box')])).toEqual([]);
    expect(comingAlarms([QUIET], [alarm('board-quiet', null)])).toEqual([]);
    expect(comingAlarms([QUIET], [alarm('station-quiet', 'rig')])).toHaveLength(1);
    expect(comingAlarms([{ ...QUIET, heardMs: null }], [])).toEqual([]);
  });

  test('a ceiling that is passed', () => {
    const ceiling = { ...RIG.ceiling!, outcome: 'passed' as const, ceilingC: 60 };
    expect(comingAlarms([{ ...RIG, ceiling }], [])).toEqual([
      'The chamber has passed its ceiling: an alarm once that has lasted its delay.',
    ]);
    expect(comingAlarms([{ ...RIG, ceiling }], [{ ...PASSED, station: 'rig' }])).toEqual([]);
  });
});
