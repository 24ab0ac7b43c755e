process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { Drying, SpoolState, StationState } from '../../server/api/messages.ts';
import type { LaneFacts } from '../../web/bench-lanes.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { laneSeries } from '../../web/lane-series.ts';
import { moistureLane } from '../../web/moisture-lane.ts';
import { sayLane, sayPlate } from '../../web/ruler/readout.ts';
import { rangeOf } from '../../web/ruler/view.ts';
import { createSeriesWindow } from '../../web/series-window.ts';
import { castOf } from '../../web/stations.ts';
import { BOX, NOW_MS, RIG, ROOM } from '../browser/invented-bench.ts';
import {
  CALLED_DRY,
  clockMs,
  dryingOf,
  NEVER,
  quantiles,
  SPOOL_MORNING,
  spoolOf,
} from '../browser/invented-spool.ts';

const HOUR = 3_600_000;
const plain = (text: string | undefined): string | undefined => text?.replaceAll('\u00a0', ' ');

/** Estimates of the morning, one each ten minutes. */
function lane(
  drying: Partial<Drying> = {},
  parts: Partial<LaneFacts> & { spool?: Partial<SpoolState>; box?: StationState } = {},
) {
  const { spool: spoolParts, box = BOX, ...facts } = parts;
  const stations = [box, RIG, ROOM];
  const spool = { ...spoolOf(spoolParts), drying: dryingOf(drying) };
  const cast = castOf(stations, { boxId: null, chamberId: null }, [spool]);
  const series = createSeriesWindow();
  series.want(laneSeries(cast, spool), 1000);
  for (let atMs = NOW_MS - 8 * HOUR; atMs < NOW_MS; atMs += 600_000)
    series.takePoints(
      ['p05', 'p50', 'p95'].flatMap((figure) => {
        const key = `gear.moisture_${figure}`;
        const value = SPOOL_MORNING('box', key, atMs - (atMs % 600_000));
        return value === null ? [] : [{ station: 'box', key, atMs, value }];
      }),
    );
  return moistureLane(
    {
      stations,
      cast,
      series,
      range: rangeOf({ kind: 'following', spanMs: 24 * HOUR }, NOW_MS, 0.5),
      clockMs: NOW_MS,
      nowMs: NOW_MS,
      lostSinceMs: null,
      format: createFormat(DEFAULT_PREFERENCES),
      narrow: false,
      ...facts,
    },
    spool,
  );
}

describe('the moisture lane', () => {
  test('solid up to now, dashed from now, each with its band, meeting at the ring', () => {
    const drawn = lane();
    expect(drawn.title).toBe('Moisture in the gear spool');
    expect(drawn.lines.map((line) => line.look)).toEqual(['solid', 'dashed']);
    expect(drawn.bands.length).toBe(2);
    const [past, ahead] = drawn.lines;
    expect([past?.atMs.at(-1), ahead?.atMs[0]]).toEqual([NOW_MS, NOW_MS]);
    expect([past?.values.at(-1), ahead?.values[0], drawn.head?.value]).toEqual([0.34, 0.34, 0.34]);
    expect(plain(drawn.head?.text)).toBe('0.34 %');
    expect(drawn.scale).toMatchObject({ kind: 'log', low: 0.05, high: 2 });
  });

  test('the limit says whose it is, the floor how far it is known', () => {
    expect(lane().limit).toEqual({ value: 0.2, label: 'printing limit 0.20', sub: ', common practice' });
    expect(lane({}, { spool: { limitKind: 'own' } }).limit?.label).toBe('your limit 0.20');
    expect(lane().floor).toEqual({
      value: 0.1,
      label: 'floor 0.10',
      sub: ' (0.08–0.13): this air takes it no lower',
    });
  });

  test('the bar runs from the fan’s lower crossing to its upper, the ring at the median’s', () => {
    const { arrival } = lane();
    expect(arrival).toMatchObject({
      fromMs: clockMs(14, 50),
      ringMs: clockMs(16, 40),
      toMs: clockMs(19, 50),
      label: 'dry 16:40',
      sub: '14:50–19:45',
    });
    // The fan drawn beside it meets the limit there.
    const { forecast } = dryingOf();
    const crossing = forecast.find((point) => point.p50 <= 0.2)!.atMs;
    expect(Math.abs(crossing - arrival!.ringMs!)).toBeLessThanOrEqual(HOUR / 4);
  });

  test('an open end, and never', () => {
    const open = lane({
      dryAtMs: { p05: clockMs(14, 50), p50: clockMs(16, 40), p95: null },
      dryAtReason: { p95: 'never' },
    });
    expect(open.arrival).toMatchObject({ toMs: null, sub: '14:50 or never' });
    const never = lane(NEVER);
    expect(never.arrival).toBeUndefined();
    expect(never.warning).toBe('▲ Floor above limit: 0.20 is not reached in this air');
  });

  test('quiet takes forecast, ring and bar away at once; the broken hatch runs to the end', () => {
    const heardMs = NOW_MS - 371_000;
    const quiet = lane({}, { box: { ...BOX, quiet: true, heardMs } });
    expect(quiet.lines.map((line) => line.look)).toEqual(['solid']);
    expect([quiet.head, quiet.arrival, quiet.floor]).toEqual([null, undefined, undefined]);
    expect(quiet.silence).toEqual({
      fromMs: heardMs,
      words: ['▲ Station quiet for 6 min', 'last heard 12:04', 'no forecast'],
      toEnd: true,
    });
    const lost = lane({}, { lostSinceMs: NOW_MS - 60_000 });
    expect(lost.lines.length).toBe(1);
    expect(lost.silence?.fromMs).toBe(NOW_MS - 60_000);
  });

  test('kept without heat there is no floor to reach but a level to drift to', () => {
    const kept = lane({ state: 'holding', floorWtPercent: quantiles(1.2, 1.9, 2.6) });
    expect(kept.floor).toBeUndefined();
    expect(kept.level).toEqual({ value: 1.9, label: 'level with this air 1.9', sub: ' (1.2–2.6)' });
    expect(kept.arrival).toBeUndefined();
  });

  test('dry has no more time to come, out of the box no more claim', () => {
    expect(lane(CALLED_DRY).arrival).toBeUndefined();
    expect(lane(CALLED_DRY).floor?.value).toBe(0.1);
    const out = lane({ state: 'idle' });
    expect([out.head, out.lines.length]).toEqual([null, 1]);
  });

  test('the wide axis where the limit or the medians need it', () => {
    expect(lane({}, { spool: { limitWtPercent: 0.03 } }).scale.low).toBe(0.02);
    expect(lane({ moistureWtPercent: quantiles(1.7, 3.1, 5.2) }).scale.high).toBe(10);
  });

  test('a time ahead is read off the forecast with its range, and air that is not forecast is passed over', () => {
    const drawn = lane();
    const format = createFormat(DEFAULT_PREFERENCES);
    expect(sayLane(drawn, NOW_MS).map(plain)).toEqual([
      'moisture 0.34 % (0.28–0.41)',
      'wettest turn 0.48 %',
      '20 g can be counted on, 60 g are likely',
    ]);
    expect(sayLane(drawn, clockMs(16, 40)).length).toBe(1);
    const air = { ...drawn, lines: drawn.lines.slice(0, 1), bands: [] };
    expect(plain(sayPlate([drawn, air], clockMs(16, 40), NOW_MS, format))).toMatch(
      /^16:40, forecast: moisture 0\.(20|21) % \(0\.1\d–0\.2\d\)$/,
    );
  });
});
