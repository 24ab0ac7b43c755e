/** A drying run on paper: how wet, when dry, what it rests on. */
import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type { Drying, SpoolState } from '../../server/api/messages.ts';
import type { MaterialsAnswer } from '../../server/api/messages-setup.ts';
import { askJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { constantText } from '../constant-text.ts';
import { fixed, moisture, moistureRange, range, withUnit } from '../format.ts';
import { evidenceIn, noteIn } from '../planner/question.ts';
import { grams } from '../usable.ts';
import { REPORT } from '../words/report.ts';
import { type Band, type Curve, Figure } from './figure.tsx';
import { csvPath, fetchSeries, rulerPath, type SeriesOf, valueAt } from './report-data.ts';
import { Links } from './report-parts.tsx';
import { Table } from './table.tsx';

const HOUR_MS = 3_600_000;
/** A run that is not yet told of by the estimator: what was there before it. */
const BEFORE_MS = 6 * HOUR_MS;
/** More rows than this are every second, third … hour. */
const MOST_ROWS = 30;

export function DryingReport({
  state,
  spool,
}: {
  state: BenchState;
  spool: SpoolState & { drying: Drying };
}) {
  const { drying, station, id } = spool;
  const nowMs = useMemo(() => state.nowMs.value, [id]);
  const fromMs = drying.runStartMs ?? nowMs - BEFORE_MS;
  const toMs = Math.max(nowMs, fromMs + HOUR_MS);
  const series = useSignal<SeriesOf>(() => null);
  const materials = useSignal<MaterialsAnswer | null>(null);
  const keys = ['t', 'rh', ...(['p05', 'p50', 'p95'] as const).map((p) => `${id}.moisture_${p}`)];
  // A report is of the moment it was opened: history is asked once.
  useEffect(() => {
    void fetchSeries(station, keys, fromMs, toMs).then((found) => {
      series.value = found;
    });
    void askJson<MaterialsAnswer>('/api/materials').then((answer) => {
      if (answer.ok) materials.value = answer.value;
    });
  }, [id, station]);
  const format = state.format.value;
  const of = series.value;
  const airSeen = of('t');
  const air = airSeen && {
    ...airSeen,
    values: airSeen.values.map((celsius) => format.shownTemperature(celsius)),
  };
  const past = of(`${id}.moisture_p50`);
  const band = bandOf(of(`${id}.moisture_p05`), of(`${id}.moisture_p95`));
  const shown = (curve: Curve | null): readonly Curve[] => (curve ? [curve] : []);
  const when = (ms: number | null, reason: string | undefined): string =>
    ms !== null
      ? format.when(ms, nowMs)
      : reason === 'never'
        ? REPORT.never
        : reason === 'beyond'
          ? REPORT.beyond
          : REPORT.noRun;
  const times = (at: Drying['dryAtMs'], why: Drying['dryAtReason']): readonly [string, string] => [
    when(at.p50, why.p50),
    `${when(at.p05, why.p05)} – ${when(at.p95, why.p95)}`,
  ];
  const wet = (name: string, q: Drying['moistureWtPercent']): readonly string[] => [
    name,
    withUnit(moisture(q.p50), '%'),
    withUnit(moistureRange(q), '%'),
  ];
  const figures: readonly (readonly string[])[] = [
    wet(REPORT.mean, drying.moistureWtPercent),
    wet(REPORT.wettest, drying.wettestTurnWtPercent),
    [
      REPORT.usable,
      grams(drying.readyOuterG.p50),
      `${grams(drying.readyOuterG.p05)} – ${grams(drying.readyOuterG.p95)}`,
    ],
    ...(drying.floorWtPercent ? [wet(REPORT.floor, drying.floorWtPercent)] : []),
    [REPORT.dryAt, ...times(drying.dryAtMs, drying.dryAtReason)],
    [REPORT.throughAt, ...times(drying.dryThroughAtMs, drying.dryThroughAtReason)],
    [REPORT.pDry, withUnit(fixed(100 * drying.pDry, 0), '%'), ''],
    [REPORT.pNever, withUnit(fixed(100 * drying.pNever, 0), '%'), ''],
  ];
  const material = materials.value?.materials.find(({ key }) => key === spool.materialKey);
  return (
    <>
      <Links csv={csvPath(station, keys, fromMs, toMs)} ruler={rulerPath(fromMs, toMs)} />
      <p class="soft">{REPORT.span(format.dateAndClock(fromMs), format.dateAndClock(toMs))}</p>
      <Figure
        spec={{
          title: REPORT.moisture,
          unit: REPORT.wtPercent,
          substance: 'water',
          kind: 'log',
          leastSpan: 0.1,
          curves: shown(past),
          bands: band ? [band] : [],
          levels: [
            {
              value: spool.limitWtPercent,
              label: `${REPORT.limit} ${withUnit(moisture(spool.limitWtPercent), '%')}`,
            },
          ],
        }}
        fromMs={fromMs}
        toMs={toMs}
        format={format}
        said={`${REPORT.moisture}: ${moisture(drying.moistureWtPercent.p50)} (${moistureRange(drying.moistureWtPercent)})`}
      />
      {(['t', 'rh'] as const).map((key) => (
        <Figure
          key={key}
          spec={{
            title: key === 't' ? REPORT.boxAir : REPORT.boxRh,
            unit: key === 't' ? format.temperatureUnit : '%RH',
            substance: key === 't' ? 'heat' : 'water',
            kind: 'linear',
            leastSpan: 5,
            curves: shown(key === 't' ? air : of(key)),
            bands: [],
            levels: [],
          }}
          fromMs={fromMs}
          toMs={toMs}
          format={format}
          said={`${key === 't' ? REPORT.boxAir : REPORT.boxRh}: ${fixed(valueAt(key === 't' ? air : of(key), toMs), 1)}`}
        />
      ))}
      <h2 class="head">{REPORT.figures}</h2>
      <Table label={REPORT.figures} head={['', REPORT.likely, REPORT.nineInTen]} rows={figures} />
      <h2 class="head">{REPORT.hourly}</h2>
      <Table
        label={REPORT.hourly}
        head={[
          REPORT.time,
          `${REPORT.mean}, wt %`,
          `${REPORT.boxAir}, ${format.temperatureUnit}`,
          `${REPORT.boxRh}, %RH`,
        ]}
        rows={hours(fromMs, toMs).map((ms) => [
          format.dayAndClock(ms),
          moistureWithBand(past, band, ms),
          fixed(valueAt(air, ms), 1),
          fixed(valueAt(of('rh'), ms), 2),
        ])}
      />
      <h2 class="head">{REPORT.assumed}</h2>
      <ul>
        {drying.assumptions.map((sentence) => (
          <li key={sentence}>{noteIn(sentence, format)}</li>
        ))}
      </ul>
      <h2 class="head">{REPORT.learned}</h2>
      <Table
        label={REPORT.learned}
        head={[REPORT.unknown, REPORT.before, REPORT.now]}
        rows={drying.posterior.map(({ label, unit, prior, now }) => [
          label,
          ...[prior, now].map((q) => learnedText(q, unit)),
        ])}
      />
      {material && (
        <>
          <h2 class="head">{`${REPORT.constants}: ${material.name}`}</h2>
          <Table
            label={REPORT.constants}
            head={[REPORT.quantity, REPORT.value, REPORT.grade, REPORT.source]}
            rows={material.evidence
              .map((row) => evidenceIn(row, format))
              .map((row) => [row.quantity, constantText(row), row.grade, row.sources.join('; ')])}
          />
        </>
      )}
    </>
  );
}

const sig = (value: number): string => String(Number(value.toPrecision(3))).replace('-', '−');

const learnedText = ({ p05, p50, p95 }: Drying['moistureWtPercent'], unit: string): string =>
  withUnit(`${sig(p50)} (${sig(p05)}${p05 < 0 ? ' to ' : '–'}${sig(p95)})`, unit);

function bandOf(low: Curve | null, high: Curve | null): Band | null {
  if (!low || !high || low.atMs.length !== high.atMs.length) return null;
  return { atMs: low.atMs, low: low.values, high: high.values };
}

function moistureWithBand(past: Curve | null, band: Band | null, atMs: number): string {
  const likely = valueAt(past, atMs);
  if (likely === null || !band || !past) return fixed(likely, 2);
  const edge = (values: readonly number[]) => valueAt({ ...past, values }, atMs) ?? likely;
  return `${fixed(likely, 2)} (${range(edge(band.low), edge(band.high), 2)})`;
}

function hours(fromMs: number, toMs: number): number[] {
  const every = Math.max(1, Math.ceil((toMs - fromMs) / HOUR_MS / MOST_ROWS)) * HOUR_MS;
  const first = Math.ceil(fromMs / HOUR_MS) * HOUR_MS;
  return Array.from(
    { length: Math.max(0, Math.floor((toMs - first) / every) + 1) },
    (_, i) => first + i * every,
  );
}
