process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { LaneFacts } from '../../web/bench-lanes.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { happeningsAt } from '../../web/happenings.ts';
import { laneSeries, OPENED } from '../../web/lane-series.ts';
import { sayLane } from '../../web/ruler/readout.ts';
import { createSeriesWindow } from '../../web/series-window.ts';
import { castOf } from '../../web/stations.ts';
import { HEATING } from '../browser/invented-alerts.ts';
import { BOX, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';
import { clockMs } from '../browser/invented-spool.ts';

const STATIONS = [BOX, RIG, ROOM];

function factsWith(opened: readonly (readonly [station: string, atMs: number])[]): LaneFacts {
  const cast = castOf(STATIONS, { boxId: null, chamberId: null });
  const series = createSeriesWindow();
  series.want(laneSeries(cast), 60_000);
  series.takePoints(opened.map(([station, atMs]) => ({ station, key: OPENED, atMs, value: 1 })));
  return {
    stations: STATIONS,
    cast,
    series,
    range: { fromMs: clockMs(8, 0), toMs: clockMs(14, 0) },
    clockMs: NOW_MS,
    nowMs: NOW_MS,
    lostSinceMs: null,
    format: createFormat(DEFAULT_PREFERENCES),
    narrow: false,
  };
}

describe('what happened at a place', () => {
  const facts = factsWith([
    ['box', clockMs(7, 30)],
    ['box', clockMs(10, 5)],
    ['box', clockMs(10, 6)],
    ['rig', clockMs(11, 20)],
  ]);
  const words = (...args: Parameters<typeof happeningsAt>) => happeningsAt(...args).map((one) => one.words);

  test('lids of a box and doors of a chamber that lie in the span, each at its own', () => {
    expect(words(facts, 'box', [])).toEqual(['lid opened 10:05']);
    expect(words(facts, 'rig', [])).toEqual(['door opened 11:20']);
    expect(words(facts, null, [])).toEqual([]);
  });

  test('its alarms stand among them, by when their trouble began; news and other places’ do not', () => {
    const alarm = { ...HEATING, station: 'box', sinceMs: clockMs(9, 40), title: 'Heating lost' };
    const marks = happeningsAt(facts, 'box', [
      alarm,
      { ...alarm, kind: 'news' as const },
      { ...alarm, station: 'rig' },
      { ...alarm, sinceMs: clockMs(6, 0) },
    ]);
    expect(marks.map((one) => [one.words, one.isAlarm])).toEqual([
      ['09:40: Heating lost, active.', true],
      ['lid opened 10:05', false],
    ]);
  });

  test('a door that a running job tells of, with its length, is not marked twice', () => {
    expect(words(facts, 'rig', [], [{ atMs: clockMs(11, 19) }])).toEqual([]);
    expect(words(facts, 'rig', [], [{ atMs: clockMs(9, 0) }])).toHaveLength(1);
  });

  test('looked at from nearby it is read out, from afar it is not', () => {
    const lane = {
      id: 'lower' as const,
      title: '',
      unit: '°C',
      substance: 'heat' as const,
      scale: { kind: 'linear' as const, low: 0, high: 1, ticks: [] },
      lines: [],
      bands: [],
      head: null,
      silence: null,
      empty: null,
      number: String,
      happenings: happeningsAt(facts, 'rig', []),
    };
    expect(sayLane(lane, clockMs(11, 22))).toEqual(['door opened 11:20']);
    expect(sayLane(lane, clockMs(11, 40))).toEqual([]);
  });
});
