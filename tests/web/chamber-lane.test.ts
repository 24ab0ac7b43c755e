process.env['TZ'] = 'Europe/Berlin';

import { describe, expect, test } from 'vitest';
import type { StationState } from '../../server/api/messages.ts';
import type { ChamberState } from '../../server/api/messages-chamber.ts';
import type { JobState } from '../../server/api/messages-jobs.ts';
import type { LaneFacts } from '../../web/bench-lanes.ts';
import { chamberLane } from '../../web/chamber-lane.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { laneSeries } from '../../web/lane-series.ts';
import { valueAt } from '../../web/ruler/readout.ts';
import { rangeOf } from '../../web/ruler/view.ts';
import { createSeriesWindow } from '../../web/series-window.ts';
import { castOf } from '../../web/stations.ts';
import type { History } from '../browser/bench-double.ts';
import { BOX, NOW_MS, ROOM } from '../browser/invented-bench.ts';
import {
  CHAMBER_MORNING,
  COLD,
  COOLING,
  chamberOf,
  excursion,
  JOB_MORNING,
  jobOf,
  rigAt,
  STEADY,
} from '../browser/invented-chamber.ts';
import { clockMs, quantiles } from '../browser/invented-spool.ts';

const plain = (text: string | undefined): string | undefined => text?.replaceAll('\u00a0', ' ');
const DAY = 24 * 3_600_000;

function lane(
  chamber: Partial<ChamberState> = {},
  more: {
    rig?: StationState;
    job?: JobState;
    history?: History;
    facts?: Partial<LaneFacts>;
    untilMs?: number;
  } = {},
) {
  const stations = [BOX, more.rig ?? rigAt(52.8), ROOM];
  const cast = castOf(stations, { boxId: null, chamberId: null });
  const ids = laneSeries(cast).filter(({ station }) => station === 'rig');
  const series = createSeriesWindow();
  series.want(ids, DAY / 1000);
  for (let atMs = NOW_MS - DAY / 2; atMs <= (more.untilMs ?? NOW_MS - 1000); atMs += 20_000)
    series.takePoints(
      ids.flatMap((id) => {
        const value = (more.history ?? CHAMBER_MORNING)(id.station, id.key, atMs);
        return value === null ? [] : [{ ...id, atMs, value }];
      }),
    );
  return chamberLane(
    {
      stations,
      cast,
      series,
      range: rangeOf({ kind: 'following', spanMs: DAY }, NOW_MS, 0.5),
      clockMs: NOW_MS,
      nowMs: NOW_MS,
      lostSinceMs: null,
      format: createFormat(DEFAULT_PREFERENCES),
      narrow: false,
      ...more.facts,
    },
    chamberOf(chamber),
    more.job ?? null,
  );
}

describe('the lane of a chamber that is heated', () => {
  test('air so far, its forecast from the newest reading, and the frame as a slower thing', () => {
    const { lines, bands } = lane();
    expect(lines.map(({ name, look }) => [name, look])).toEqual([
      ['the chamber', 'solid'],
      ['the chamber', 'dashed'],
      ['frame', 'dotted'],
      ['bed', 'dotted'],
    ]);
    expect(lines[1]?.atMs[0]).toBe(NOW_MS);
    expect(lines[1]?.values[0]).toBe(52.8);
    // The last fit of the frame comes after what history holds.
    expect(lines[2]?.values.at(-1)).toBe(44.1);
    expect(bands.map(({ tint }) => tint)).toEqual([1, 2]);
    const at = (samples: { values: readonly number[] } | undefined): number => samples?.values.at(-1) ?? 0;
    const [outer, inner] = bands;
    // From the median to the quartile it is 0.674 standard deviations of 1.645 to the twentieth (normal tables).
    const median = at(lines[1]);
    expect((at(inner?.high) - median) / (at(outer?.high) - median)).toBeCloseTo(0.674 / 1.645, 2);
    expect((median - at(inner?.low)) / (median - at(outer?.low))).toBeCloseTo(0.674 / 1.645, 2);
  });

  test('rails of the ready band about where it ends, the steady bar on the lower one', () => {
    const { rails, arrival } = lane();
    expect([rails?.low, rails?.high]).toEqual([56.4, 58.4]);
    expect(plain(rails?.label)).toBe('ends at 57.4 °C (55.9–58.8)');
    expect(arrival).toMatchObject({
      value: 56.4,
      mark: 'rails',
      fromMs: clockMs(13, 50),
      ringMs: clockMs(14, 25),
      toMs: clockMs(14, 55),
      label: 'steady 14:25',
      sub: '13:50–14:55',
    });
  });

  test('an open end is said, and a time beyond all looking ahead draws no bar', () => {
    const open = lane({
      steadyAtMs: { p05: clockMs(13, 50), p50: clockMs(18, 0), p95: null },
      steadyAtReason: { p95: 'beyond' },
    });
    expect(open.arrival).toMatchObject({ toMs: null, sub: '13:50 or over a day' });
    const none = { p05: null, p50: null, p95: null };
    const reason = { p05: 'beyond', p50: 'beyond', p95: 'beyond' } as const;
    expect(lane({ steadyAtMs: none, steadyAtReason: reason }).arrival).toBeUndefined();
  });

  test('steady: the mark stands where it became so', () => {
    expect(lane(STEADY).arrival).toMatchObject({
      ringMs: clockMs(11, 55),
      label: 'steady since 11:55',
      sub: '',
    });
  });

  test('its ceiling with whose it is, where it is near enough not to press the lane flat', () => {
    const { ceiling, scale } = lane();
    expect(plain(ceiling?.label)).toBe('ceiling 65 °C');
    expect(ceiling?.sub).toBe(': PETG part');
    expect(scale.high).toBeGreaterThan(65);
    expect(lane({}, { rig: rigAt(52.8, { ceilingC: 115 }) }).ceiling).toBeUndefined();
    expect(lane({}, { rig: rigAt(52.8, { ceilingC: null, whose: null }) }).ceiling).toBeUndefined();
  });

  test('what was estimated at a time is said with it, and nothing ahead', () => {
    const { spoken } = lane();
    // 90 min into the heat: lag 31·e^(−90/90) = 11.4, doubt 12·e^(−90/50) = 2.0, to the nearest fit.
    const said = (spoken?.(clockMs(11, 55)) ?? []).map(plain);
    expect(said[0]).toMatch(/^to end at 57\.4 °C \(5[34]\.\d–60\.[678]\)$/);
    expect(said[1]).toMatch(/^frame 11\.\d °C from where it ends$/);
    expect(spoken?.(clockMs(13, 0))).toEqual([]);
  });

  test('in °F a band is a difference of degrees', () => {
    const format = createFormat({ clock: '24h', temperature: 'F' });
    const { rails, arrival } = lane({}, { facts: { format } });
    // 2 °C wide are 3.6 °F; 56.4 °C are 133.52 °F.
    expect((rails?.high ?? 0) - (rails?.low ?? 0)).toBeCloseTo(3.6, 9);
    expect(arrival?.value).toBeCloseTo(133.52, 9);
  });
});

describe('where nothing may be claimed', () => {
  test('a quiet chamber loses its forecast, its rails and its time at once', () => {
    const heardMs = NOW_MS - 371_000;
    const spec = lane({}, { rig: { ...rigAt(52.8), quiet: true, heardMs }, untilMs: heardMs });
    expect(spec.lines.some(({ look }) => look === 'dashed')).toBe(false);
    expect([spec.bands.length, spec.rails, spec.arrival, spec.head]).toEqual([0, undefined, undefined, null]);
    expect(spec.silence).toEqual({
      fromMs: heardMs,
      words: ['▲ Station quiet for 6 min', 'last heard 12:04', 'no forecast'],
      toEnd: true,
    });
  });

  test('nor without word from the server, or while its state is not known', () => {
    expect(lane({}, { facts: { lostSinceMs: NOW_MS - 60_000 } }).bands).toEqual([]);
    expect(lane({ state: 'unknown' }).rails).toBeUndefined();
  });

  test('a cold chamber has air and no more', () => {
    const spec = lane(COLD, { rig: rigAt(22.4), history: () => null });
    expect([spec.bands.length, spec.rails, spec.arrival]).toEqual([0, undefined, undefined]);
  });
});

describe('a chamber that cools', () => {
  test('when it may be opened, on its way down; no rails', () => {
    const { arrival, rails } = lane(COOLING);
    expect(rails).toBeUndefined();
    expect(arrival).toMatchObject({
      mark: 'none',
      label: 'may be opened 12:55',
      sub: '12:45–13:05',
      fromLabel: 'may be opened from 12:45',
    });
    // The forecast's own value at 12:55, between its points at 12:50:42 and 12:55:42.
    expect(arrival?.value).toBeGreaterThan(30);
    expect(arrival?.value).toBeLessThan(35);
  });

  test('once it was cool enough, since when', () => {
    const openAtMs = quantiles(clockMs(12, 0), clockMs(12, 0), clockMs(12, 0));
    expect(lane({ ...COOLING, openAtMs }).arrival?.label).toBe('cool enough to open since 12:00');
  });
});

describe('while a job runs', () => {
  const job = jobOf({ excursions: [excursion({ kind: 'chamber-off' })] });
  const during = () => lane(STEADY, { job, history: JOB_MORNING, rig: rigAt(57) });

  test('the lane closes in on its band and five degrees beside it', () => {
    const { scale, rails, arrival } = during();
    expect([scale.low, scale.high]).toEqual([49, 65]);
    expect([rails?.low, rails?.high, rails?.fromMs]).toEqual([54, 60, job.startedMs]);
    expect(plain(rails?.label)).toBe('band of the job 54.0–60.0 °C');
    expect(arrival).toBeUndefined();
    expect(scale.ticks.every(({ at }) => at >= 49 && at <= 65)).toBe(true);
  });

  test('what happened stands at its time, with how far it went', () => {
    expect(during().events?.map((event) => ({ ...event, sub: plain(event.sub) }))).toEqual([
      { atMs: clockMs(11, 5), label: 'off its band 11:05, 14 min', sub: 'down to 51.4 °C' },
    ]);
  });

  test('before the job the lane is as wide as its readings', () => {
    const range = { fromMs: NOW_MS - DAY / 2, toMs: job.startedMs - 1000 };
    const spec = lane(STEADY, { job, history: JOB_MORNING, rig: rigAt(57), facts: { range } });
    expect([spec.scale.low, spec.scale.high]).not.toEqual([49, 65]);
  });
});

test('the readout gives the forecast its range', () => {
  const spec = lane();
  const shown = valueAt(spec, 'the chamber', clockMs(16, 10));
  expect(shown?.value).toBeGreaterThan(56);
  expect(shown?.band?.low).toBeLessThan(shown?.value ?? 0);
  expect(shown?.band?.high).toBeGreaterThan(shown?.value ?? 0);
});
