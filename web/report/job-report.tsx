/** A job on paper: what was planned, what the air and the filament did, what left its window, how it came out. */
import { useSignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type { JobState } from '../../server/api/messages-jobs.ts';
import type { BenchState } from '../bench-state.ts';
import { age, fixed, moisture, moistureRange, withUnit } from '../format.ts';
import { judgedOf } from '../jobs/judged.ts';
import { grams } from '../usable.ts';
import { RUN_ACTS } from '../words/jobs.ts';
import { REPORT } from '../words/report.ts';
import { Figure } from './figure.tsx';
import { csvPath, fetchSeries, rulerPath, type SeriesOf, valueAt } from './report-data.ts';
import { Links } from './report-parts.tsx';
import { Table } from './table.tsx';

/** Measures that are temperatures, by the end of their keys. */
const OF_DEGREES = /C$/;
const NOTHING: SeriesOf = () => null;

export function JobReport({ state, job }: { state: BenchState; job: JobState }) {
  const box = state.bench.value?.spools.find(({ id }) => id === job.spool)?.station ?? null;
  const fromMs = job.startedMs;
  const openedMs = useMemo(() => state.nowMs.value, [job.id]);
  const toMs = Math.max(job.endedMs ?? openedMs, fromMs + 600_000);
  const ofChamber = useSignal<SeriesOf>(NOTHING);
  const ofBox = useSignal<SeriesOf>(NOTHING);
  // A report is of the moment it was opened: history is asked once.
  useEffect(() => {
    if (job.chamber !== null)
      void fetchSeries(job.chamber, ['t', 'tb'], fromMs, toMs).then((found) => {
        ofChamber.value = found;
      });
    if (box !== null)
      void fetchSeries(box, ['t', 'rh'], fromMs, toMs).then((found) => {
        ofBox.value = found;
      });
  }, [job.id, box]);
  const format = state.format.value;
  const at = (ms: number): string => format.dayAndClock(ms);
  const shown = (celsius: number): number => format.shownTemperature(celsius);
  const draw = (
    of: SeriesOf,
    key: string,
    title: string,
    substance: 'water' | 'heat',
    levels: { value: number; label: string }[] = [],
  ) => {
    const unit = substance === 'heat' ? format.temperatureUnit : '%RH';
    const found = of(key);
    const curve = found && substance === 'heat' ? { ...found, values: found.values.map(shown) } : found;
    return curve ? (
      <Figure
        spec={{ title, unit, substance, kind: 'linear', leastSpan: 5, curves: [curve], bands: [], levels }}
        fromMs={fromMs}
        toMs={toMs}
        format={format}
        said={`${title}: ${fixed(valueAt(curve, toMs), 1)} ${unit}`}
      />
    ) : null;
  };
  const wanted = job.referenceC === null ? [] : [{ value: shown(job.referenceC), label: REPORT.wanted }];
  const csvStation = job.chamber ?? box;
  return (
    <>
      {csvStation && (
        <Links csv={csvPath(csvStation, ['t', 'rh', 'tb'], fromMs, toMs)} ruler={rulerPath(fromMs, toMs)} />
      )}
      <p class="soft">{REPORT.span(format.dateAndClock(fromMs), format.dateAndClock(toMs))}</p>
      {draw(ofChamber.value, 't', REPORT.chamberAir, 'heat', wanted)}
      {draw(ofChamber.value, 'tb', REPORT.bed, 'heat')}
      {draw(ofBox.value, 't', REPORT.boxAir, 'heat')}
      {draw(ofBox.value, 'rh', REPORT.boxRh, 'water')}
      <h2 class="head">{REPORT.figures}</h2>
      <Table
        label={REPORT.figures}
        head={['', '']}
        rows={[
          [REPORT.planned, `${grams(job.grams)}, ${fixed(job.hours, 1)} h`],
          [REPORT.fed, grams(job.fedG)],
          ...(job.fedWtPercent
            ? [
                [
                  REPORT.measures['fedWtPercent'] ?? '',
                  `${moisture(job.fedWtPercent.p50)} (${moistureRange(job.fedWtPercent)})`,
                ],
              ]
            : []),
          ...(job.pSpoolAtStart === null
            ? []
            : [[REPORT.pAtStart, withUnit(fixed(100 * job.pSpoolAtStart, 0), '%')]]),
          [
            REPORT.outcome,
            job.outcome === null
              ? REPORT.noOutcome
              : [REPORT.outcomes[job.outcome], job.note].filter((part) => part !== '').join(': '),
          ],
        ]}
      />
      {Object.keys(job.settings).length > 0 && (
        <>
          <h2 class="head">{REPORT.settings}</h2>
          <Table
            label={REPORT.settings}
            head={['', '']}
            rows={Object.entries(job.settings).map(([name, value]) => [name, String(value)])}
          />
        </>
      )}
      <h2 class="head">{REPORT.excursions}</h2>
      {job.excursions.every(({ kind }) => kind === 'pause') && (
        <p>
          {judgedOf(job) === 'judged'
            ? REPORT.noExcursions
            : job.state === 'ended'
              ? RUN_ACTS.tooShort
              : RUN_ACTS.notJudged}
        </p>
      )}
      {job.excursions.length > 0 && (
        <Table
          label={REPORT.excursions}
          head={[REPORT.kind, REPORT.from, REPORT.to, REPORT.lasted, REPORT.worst]}
          rows={job.excursions.map((one) => [
            REPORT.kinds[one.kind],
            at(one.fromMs),
            one.toMs === null ? REPORT.still : at(one.toMs),
            age((one.toMs ?? toMs) - one.fromMs),
            one.worst === null
              ? ''
              : one.unit === '°C'
                ? withUnit(format.temperature(one.worst), format.temperatureUnit)
                : withUnit(fixed(one.worst, 2), one.unit ?? ''),
          ])}
        />
      )}
      <p>
        <a href={`/report?spool=${encodeURIComponent(job.spool)}`}>{REPORT.rests(job.spool)}</a>
      </p>
      <h2 class="head">{REPORT.measured}</h2>
      <Table
        label={REPORT.measured}
        head={['', REPORT.average, REPORT.least, REPORT.most]}
        rows={Object.entries(job.measures).map(([key, { mean, min, max }]) => {
          const name = REPORT.measures[key] ?? key;
          return OF_DEGREES.test(key)
            ? [`${name}, ${format.temperatureUnit}`, ...[mean, min, max].map(format.temperature)]
            : [name, ...[mean, min, max].map((value) => fixed(value, 2))];
        })}
      />
    </>
  );
}
