process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { StationState } from '../../server/api/messages.ts';
import { airLane, type LaneFacts, vapourLane } from '../../web/bench-lanes.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { laneSeries } from '../../web/lane-series.ts';
import { rangeOf } from '../../web/ruler/view.ts';
import { createSeriesWindow } from '../../web/series-window.ts';
import { castOf } from '../../web/stations.ts';
import { BOX, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';

/** Ten minutes of readings every 2 s up to `endMs`. */
function facts(
  stations: readonly StationState[],
  endMs = NOW_MS - 2000,
  parts: Partial<LaneFacts> = {},
): LaneFacts {
  const cast = castOf(stations, { boxId: null, chamberId: null });
  const series = createSeriesWindow();
  series.want(laneSeries(cast), 600);
  const levels: Record<string, number> = {
    vapour: 10.5,
    vapour_low: 5.2,
    vapour_high: 15.7,
    t: 52.8,
    tb: 100.2,
  };
  for (let atMs = NOW_MS - 600_000; atMs <= endMs; atMs += 2000)
    series.takePoints(
      laneSeries(cast).flatMap((id) => {
        const value = levels[id.key];
        return value === undefined ? [] : [{ ...id, atMs, value: id.station === 'room' ? 8.8 : value }];
      }),
    );
  return {
    stations,
    cast,
    series,
    range: rangeOf({ kind: 'following', spanMs: 600_000 }, NOW_MS),
    clockMs: NOW_MS,
    nowMs: NOW_MS,
    lostSinceMs: null,
    format: createFormat(DEFAULT_PREFERENCES),
    narrow: false,
    ...parts,
  };
}
const ALL = [BOX, RIG, ROOM];
const plain = (text: string | undefined): string | undefined => text?.replaceAll('\u00a0', ' ');

describe('the lanes of the bench', () => {
  test('the box’s water with its tolerance, the room’s beside it, and the newest value', () => {
    const lane = vapourLane(facts(ALL));
    expect(lane.title).toBe('Water in the drying box air');
    expect(lane.lines.map((line) => [line.name, line.look])).toEqual([
      ['the drying box', 'solid'],
      ['room', 'dotted'],
    ]);
    expect(lane.bands.length).toBe(1);
    expect(plain(lane.head?.text)).toBe('10.5 g/m³');
    expect(lane.scale.low).toBeLessThanOrEqual(5.2);
    expect(lane.scale.high).toBeGreaterThanOrEqual(15.7);
    expect(lane.silence).toBeNull();
  });

  test('the bed does not press the chamber’s air flat', () => {
    const lane = airLane(facts(ALL));
    expect(lane.lines.map((line) => line.name)).toEqual(['the chamber', 'bed']);
    expect(lane.scale.high).toBeLessThan(80);
  });

  test('a quiet station has no newest value; its lane says since when', () => {
    const heardMs = NOW_MS - 371_000;
    const lane = vapourLane(facts([{ ...BOX, quiet: true, heardMs }, RIG, ROOM], heardMs));
    expect(lane.head).toBeNull();
    expect(lane.silence).toEqual({
      fromMs: heardMs,
      words: ['▲ Station quiet for 6 min', 'last heard 12:04'],
    });
  });

  test('a sensor at fault breaks the lane where its readings end, though its station is heard', () => {
    const faulty = { ...BOX, values: { t: 80.1 }, faults: { rh: 'nack' }, air: null };
    const lane = vapourLane(facts([faulty, RIG, ROOM], NOW_MS - 120_000));
    expect(lane.head).toBeNull();
    expect(lane.silence?.fromMs).toBeLessThanOrEqual(NOW_MS - 120_000);
    expect(lane.silence?.words[0]).toBe('▲ Humidity: the sensor does not answer');
    expect(airLane(facts([faulty, RIG, ROOM])).silence).toBeNull();
  });

  test('without word from the server both lanes fall silent', () => {
    const lost = facts(ALL, NOW_MS - 62_000, { lostSinceMs: NOW_MS - 60_000 });
    for (const lane of [vapourLane(lost), airLane(lost)]) {
      expect(lane.head).toBeNull();
      expect(lane.silence?.fromMs).toBe(NOW_MS - 60_000);
    }
  });

  test('a value outside its range is not the newest value', () => {
    expect(airLane(facts([BOX, { ...RIG, values: { t: 181.3 }, flagged: ['t'] }])).head).toBeNull();
    expect(plain(airLane(facts([BOX, RIG])).head?.text)).toBe('52.8 °C');
  });

  test('in the past there is no newest value', () => {
    const past = facts(ALL, undefined, { range: { fromMs: NOW_MS - 500_000, toMs: NOW_MS - 200_000 } });
    expect(vapourLane(past).head).toBeNull();
  });

  test('without a chamber the lower lane is the box’s own air, and in the preferred unit', () => {
    const format = createFormat({ clock: '24h', temperature: 'F' });
    const lane = airLane(facts([{ ...BOX, values: { t: 52.8, rh: 3 } }, ROOM], undefined, { format }));
    expect(lane.title).toBe('Drying box air');
    expect(lane.unit).toBe('°F');
    // 52.8 °C × 1.8 + 32
    expect(lane.lines[0]?.values.at(-1)).toBeCloseTo(127.04, 9);
    expect(plain(lane.head?.text)).toBe('127.0 °F');
  });

  test('without a box the upper lane takes a place whose humidity is heard', () => {
    const silent = { ...ROOM, heardMs: null, quiet: true, values: {}, air: null };
    expect(vapourLane(facts([silent, RIG])).title).toBe('Water in the chamber air');
    expect(vapourLane(facts([ROOM, RIG])).title).toBe('Water in the room air');
  });

  test('a bench without readings says so instead of drawing nothing', () => {
    const silent = { ...BOX, heardMs: null, quiet: true, values: {}, air: null };
    expect(vapourLane(facts([silent], 0)).empty).toBe('No reading in this span');
    expect(vapourLane(facts([], 0)).empty).toBe('No station for this lane on this bench');
  });
});
