/** A running job and its excursions in words. Pure. */
import type { SpoolState, StationState } from '../../server/api/messages.ts';
import type { JobState } from '../../server/api/messages-jobs.ts';
import type { Connection } from '../bench-state.ts';
import { type Format, fixed, moisture, moistureRange, spoken, withUnit } from '../format.ts';
import type { Piece } from '../pieces.ts';
import { nameIn } from '../stations.ts';
import { ANSWER } from '../words/answer.ts';
import { EXCURSION, RUN, span } from '../words/job-run.ts';
import { gramsIn, spanText } from './amounts.ts';
import { isTooWetNow, judgedOf } from './judged.ts';

export type ExcursionState = JobState['excursions'][number];

export interface RunFacts {
  readonly connection: Connection;
  readonly lostSinceMs: number | null;
  readonly stations: readonly StationState[];
  readonly spools: readonly SpoolState[];
  readonly nowMs: number;
  readonly format: Format;
}

export interface RunAnswer {
  readonly heading: string;
  readonly tell: readonly Piece[];
}

const HOUR_MS = 3_600_000;
/** Worst first: what is told where several are open. */
const ORDER: readonly ExcursionState['kind'][] = [
  'turn-too-wet',
  'chamber-off',
  'feed-air',
  'door',
  'quiet',
  'pause',
];

const percent = (value: number | null): string => withUnit(moisture(value), '%');
const heat = (format: Format, celsius: number | null): string =>
  withUnit(format.temperature(celsius), format.temperatureUnit);

export function runAnswer(job: JobState, facts: RunFacts): RunAnswer {
  return { heading: headingOf(job, facts), tell: tellOf(job, facts) };
}

function headingOf(
  job: JobState,
  { connection, lostSinceMs, stations, spools, nowMs, format }: RunFacts,
): string {
  if (connection === 'lost') return ANSWER.lost(format.when(lostSinceMs ?? nowMs, nowMs));
  const box = spools.find(({ id }) => id === job.spool)?.station;
  const silent = stations.find(({ id, quiet }) => quiet && (id === box || id === job.chamber));
  if (silent)
    return silent.heardMs === null
      ? ANSWER.unheard([nameIn(stations, silent)])
      : ANSWER.quiet([nameIn(stations, silent)], spoken(nowMs - silent.heardMs));
  const open = job.excursions.filter(({ toMs }) => toMs === null);
  const pause = open.find(({ kind }) => kind === 'pause');
  if (job.state === 'paused') return pause ? RUN.paused(format.when(pause.fromMs, nowMs)) : RUN.pausedPlain;
  const worst = ORDER.find((kind) => open.some((one) => one.kind === kind));
  if (worst) return RUN.open(EXCURSION.open[worst]);
  if (job.fedWtPercent === null) return RUN.unknown;
  // Said at once: an excursion counts only after a while, and filament is being printed meanwhile.
  if (isTooWetNow(job)) return RUN.open(EXCURSION.open['turn-too-wet']);
  const past = ORDER.find((kind) => job.excursions.some((one) => one.kind === kind));
  if (past) return RUN.wellBut(EXCURSION.short[past]);
  return judgedOf(job) === 'early' ? RUN.early : RUN.well;
}

function tellOf(job: JobState, { nowMs }: RunFacts): Piece[] {
  const plannedMs = job.hours * HOUR_MS;
  const printedMs = printedAt(job, nowMs);
  const said: Piece[] =
    printedMs > plannedMs + 60_000
      ? [RUN.over(spanText(printedMs - plannedMs), job.name)]
      : [
          RUN.done(
            spanText(printedMs),
            spanText(plannedMs),
            gramsIn(fedAt(job, nowMs)),
            gramsIn(job.grams),
            job.name,
          ),
        ];
  if (job.fedWtPercent) said.push(...RUN.fed(percent(job.fedWtPercent.p50), moistureRange(job.fedWtPercent)));
  return said;
}

/** The server tells once a minute; between, the page goes on with it. */
export const printedAt = (job: JobState, nowMs: number): number =>
  job.printedMs + (job.state === 'running' ? Math.max(0, nowMs - job.atMs) : 0);

export const fedAt = (job: JobState, nowMs: number): number =>
  job.grams * Math.min(1, printedAt(job, nowMs) / (job.hours * HOUR_MS));

export const shareAt = (job: JobState, nowMs: number): number =>
  Math.min(1, printedAt(job, nowMs) / (job.hours * HOUR_MS));

export function runRows(job: JobState, facts: RunFacts): readonly (readonly [what: string, how: string])[] {
  const { stations, spools, nowMs, format } = facts;
  const spool = spools.find(({ id }) => id === job.spool);
  const box = stations.find(({ id }) => id === spool?.station);
  const chamber = stations.find(({ id }) => id === job.chamber);
  const rows: [string, string][] = [
    [
      RUN.rows.fed,
      job.fedWtPercent
        ? RUN.against(
            `${percent(job.fedWtPercent.p50)} (${moistureRange(job.fedWtPercent)})`,
            RUN.limit(percent(job.limitWtPercent)),
          )
        : RUN.notKnown,
    ],
  ];
  if (job.chamber !== null) {
    const airC = chamber && !chamber.quiet ? (chamber.values['t'] ?? null) : null;
    rows.push([
      RUN.rows.chamber,
      airC === null
        ? RUN.notKnown
        : job.referenceC === null
          ? heat(format, airC)
          : RUN.against(heat(format, airC), bandText(job, format)),
    ]);
  }
  const air = box && !box.quiet ? box.air : null;
  rows.push([
    RUN.rows.air,
    air
      ? [
          heat(format, air.airTemperatureC),
          withUnit(fixed(air.relativeHumidityPercent, 1), '%RH'),
          withUnit(fixed(air.vapourDensityGPerM3, 1), 'g/m³'),
        ].join(', ')
      : RUN.notKnown,
  ]);
  const leftMs = job.hours * HOUR_MS - printedAt(job, nowMs);
  if (job.state === 'running' && leftMs > 0)
    rows.push([RUN.rows.ends, RUN.endsAt(format.about(nowMs + leftMs, nowMs))]);
  return rows;
}

function bandText(job: JobState, format: Format): string {
  const half = format.temperatureUnit === '°F' ? job.bandC * 1.8 : job.bandC;
  return RUN.band(format.temperature(job.referenceC), withUnit(fixed(half, 1), format.temperatureUnit));
}

export function sayExcursion(one: ExcursionState, facts: RunFacts): string {
  const { stations, nowMs, format } = facts;
  const goesOn = one.toMs === null;
  const when = span(format.when(one.fromMs, nowMs), one.toMs === null ? null : format.when(one.toMs, nowMs));
  switch (one.kind) {
    case 'feed-air':
    case 'turn-too-wet':
      return EXCURSION[one.kind](when, percent(one.worst), percent(one.limit), goesOn);
    case 'chamber-off':
      return EXCURSION['chamber-off'](when, heat(format, one.worst), heat(format, one.limit), goesOn);
    case 'quiet': {
      const station = stations.find(({ id }) => id === one.station);
      return EXCURSION.quiet(station ? nameIn(stations, station) : (one.station ?? ''), when, goesOn);
    }
    default:
      return EXCURSION[one.kind](when, goesOn);
  }
}
