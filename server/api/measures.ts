/** What /metrics measures: the bench and lowdew itself, as metric families. Pure. */
import { describeEstimates } from './measures-estimates.ts';
import type { Health, Snapshot } from './messages.ts';
import type { Family, Sample } from './metrics.ts';

export function describeMeasures(snapshot: Snapshot, health: Health): Family[] {
  const { stations } = snapshot;
  const { sources, history, live } = health;
  const each = <T>(items: readonly T[], sample: (item: T) => Sample | Sample[]): Sample[] =>
    items.flatMap(sample);
  const one = (value: number): Sample[] => [{ labels: {}, value }];
  const air = (value: (air: NonNullable<(typeof stations)[number]['air']>) => number | null): Sample[] =>
    each(stations, ({ id, air: now }) => {
      const found = now && value(now);
      return found === null ? [] : { labels: { station: id }, value: found };
    });

  return [
    {
      name: 'lowdew',
      type: 'info',
      help: 'Version.',
      samples: [{ labels: { version: health.version }, value: 1 }],
    },
    {
      name: 'lowdew_uptime_seconds',
      type: 'gauge',
      unit: 'seconds',
      help: 'Since the start.',
      samples: one(health.uptimeS),
    },
    {
      name: 'lowdew_resident_memory_bytes',
      type: 'gauge',
      unit: 'bytes',
      help: 'Memory of the process.',
      samples: one(health.memory.residentBytes),
    },
    {
      name: 'lowdew_station_heard_timestamp_seconds',
      type: 'gauge',
      unit: 'seconds',
      help: 'When a station was last heard, since the Unix epoch.',
      samples: each(stations, ({ id, heardMs }) =>
        heardMs === null ? [] : { labels: { station: id }, value: heardMs / 1000 },
      ),
    },
    {
      name: 'lowdew_station_quiet',
      type: 'gauge',
      help: '1 while a station is silent for longer than its rhythm allows.',
      samples: each(stations, ({ id, quiet }) => ({ labels: { station: id }, value: quiet ? 1 : 0 })),
    },
    {
      name: 'lowdew_station_value',
      type: 'gauge',
      help: 'Newest value of each key as received: t, tm, ts, tb in degrees Celsius, rh in percent, m in grams, p in hectopascals. Flagged values are left out.',
      samples: each(stations, ({ id, values, flagged }) =>
        Object.entries(values)
          .filter(([key]) => !flagged.includes(key))
          .map(([key, value]) => ({ labels: { station: id, key }, value })),
      ),
    },
    {
      name: 'lowdew_dew_point_celsius',
      type: 'gauge',
      unit: 'celsius',
      help: 'Dew point of the air, over liquid water.',
      samples: air(({ dewPointC }) => dewPointC),
    },
    {
      name: 'lowdew_vapour_density_grams_per_cubic_metre',
      type: 'gauge',
      unit: 'grams_per_cubic_metre',
      help: 'Water vapour in the air.',
      samples: air(({ vapourDensityGPerM3 }) => vapourDensityGPerM3),
    },
    {
      name: 'lowdew_station_events',
      type: 'counter',
      help: 'Faults and flagged values by reason; begins anew at midnight UTC.',
      samples: each(stations, ({ id, counts }) =>
        Object.entries(counts).map(([reason, value]) => ({ labels: { station: id, reason }, value })),
      ),
    },
    ...describeEstimates(snapshot),
    counter('lowdew_source_lines', 'Lines received.', sources, ({ lines }) => lines),
    counter(
      'lowdew_source_lost',
      'Lines that were sent and never arrived, by their sequence.',
      sources,
      ({ lost }) => lost,
    ),
    counter('lowdew_source_duplicates', 'Lines that arrived twice.', sources, ({ duplicates }) => duplicates),
    {
      name: 'lowdew_source_refused',
      type: 'counter',
      help: 'Lines refused, by reason.',
      samples: each(sources, ({ id, refused }) =>
        Object.entries(refused).map(([reason, value]) => ({ labels: { source: id, reason }, value })),
      ),
    },
    {
      name: 'lowdew_source_open',
      type: 'gauge',
      help: '1 while a source is open.',
      samples: each(sources, ({ id, state }) => ({
        labels: { source: id },
        value: state === 'open' ? 1 : 0,
      })),
    },
    {
      name: 'lowdew_history_trouble',
      type: 'gauge',
      help: '1 while the history cannot be written.',
      samples: one(snapshot.historyTrouble === null ? 0 : 1),
    },
    {
      name: 'lowdew_history_pending',
      type: 'gauge',
      help: 'Readings held in memory.',
      samples: one(history.pending),
    },
    {
      name: 'lowdew_history_readings',
      type: 'counter',
      help: 'Readings handed to the history, by what became of them.',
      samples: (['kept', 'repeated', 'refused', 'crowdedOut', 'lost'] as const).map((outcome) => ({
        labels: { outcome: outcome === 'crowdedOut' ? 'crowded-out' : outcome },
        value: history[outcome],
      })),
    },
    { name: 'lowdew_live_sockets', type: 'gauge', help: 'Live sockets open.', samples: one(live.sockets) },
    {
      name: 'lowdew_live_buffered_bytes',
      type: 'gauge',
      unit: 'bytes',
      help: 'Waiting for slow clients.',
      samples: one(live.bufferedBytes),
    },
    {
      name: 'lowdew_live_dropped',
      type: 'counter',
      help: 'Live sockets given up.',
      samples: one(live.dropped),
    },
  ];
}

const counter = (
  name: string,
  help: string,
  sources: Health['sources'],
  value: (source: Health['sources'][number]) => number,
): Family => ({
  name,
  type: 'counter',
  help,
  samples: sources.map((source) => ({ labels: { source: source.id }, value: value(source) })),
});
