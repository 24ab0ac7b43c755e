/** What /metrics says of spools and chambers: estimates with their bands, never without. Pure. */
import type { Quantiles, Snapshot } from './messages.ts';
import type { Family, Sample } from './metrics.ts';

const banded = (labels: Readonly<Record<string, string>>, q: Quantiles | null): Sample[] =>
  q === null
    ? []
    : (['p05', 'p50', 'p95'] as const).map((name) => ({
        // Not "quantile": the standard keeps that label for summaries.
        labels: { ...labels, band: name },
        value: q[name],
      }));

export function describeEstimates({ spools, chambers, stations }: Snapshot): Family[] {
  const dried = spools.flatMap(({ id, drying }) => (drying ? [{ labels: { spool: id }, drying }] : []));
  const heated = chambers.map((chamber) => ({ labels: { station: chamber.station }, chamber }));
  return [
    {
      name: 'lowdew_spool_moisture_percent',
      type: 'gauge',
      unit: 'percent',
      help: 'Mean moisture of the spool, wt % of dry polymer, by band.',
      samples: dried.flatMap(({ labels, drying }) => banded(labels, drying.moistureWtPercent)),
    },
    {
      name: 'lowdew_spool_wettest_turn_percent',
      type: 'gauge',
      unit: 'percent',
      help: 'Moisture of the wettest turn, wt % of dry polymer, by band.',
      samples: dried.flatMap(({ labels, drying }) => banded(labels, drying.wettestTurnWtPercent)),
    },
    {
      name: 'lowdew_spool_usable_grams',
      type: 'gauge',
      unit: 'grams',
      help: 'Grams from the outside in whose every turn is under the limit, by band.',
      samples: dried.flatMap(({ labels, drying }) => banded(labels, drying.readyOuterG)),
    },
    {
      name: 'lowdew_spool_dry_ratio',
      type: 'gauge',
      unit: 'ratio',
      help: 'Probability that the mean of the spool is under the limit.',
      samples: dried.map(({ labels, drying }) => ({ labels, value: drying.pDry })),
    },
    {
      name: 'lowdew_spool_never_ratio',
      type: 'gauge',
      unit: 'ratio',
      help: 'Probability that this air never dries the spool to the limit.',
      samples: dried.map(({ labels, drying }) => ({ labels, value: drying.pNever })),
    },
    {
      name: 'lowdew_chamber_final_celsius',
      type: 'gauge',
      unit: 'celsius',
      help: 'Where the chamber’s air ends, by band.',
      samples: heated.flatMap(({ labels, chamber }) => banded(labels, chamber.finalAirC)),
    },
    {
      name: 'lowdew_chamber_steady_ratio',
      type: 'gauge',
      unit: 'ratio',
      help: 'Probability that the chamber’s air is within its band of where it ends.',
      samples: heated.map(({ labels, chamber }) => ({ labels, value: chamber.pSteady })),
    },
    {
      name: 'lowdew_station_ceiling_celsius',
      type: 'gauge',
      unit: 'celsius',
      help: 'Lowest ceiling among what is inside.',
      samples: stations.flatMap(({ id, ceiling }) =>
        ceiling?.ceilingC == null ? [] : [{ labels: { station: id }, value: ceiling.ceilingC }],
      ),
    },
  ];
}
