/**
 * The lane of a chamber's air: measured so far, forecast from *now*, the rails it ends between, when it is steady or cool
 * enough to open, its ceiling, and the frame as the slower thing in it. Pure. While its station is quiet nothing is
 * forecast and nothing claimed. While a job runs the lane closes in on the job's band.
 */
import type { StationState } from '../server/api/messages.ts';
import type { ChamberState } from '../server/api/messages-chamber.ts';
import type { JobState } from '../server/api/messages-jobs.ts';
import {
  airLane,
  airScale,
  ceilingOf,
  extent,
  type LaneFacts,
  samplesIn,
  withCeiling,
} from './bench-lanes.ts';
import { type AheadPoint, chamberArrival } from './chamber-arrival.ts';
import type { Samples } from './columns.ts';
import { type Format, fixed, roundAge, withUnit } from './format.ts';
import { lowerStation } from './lane-series.ts';
import type { LaneBand, LaneEvent, LaneLine, LaneSpec, Rails } from './ruler/lane-spec.ts';
import { valueNear } from './ruler/sample-near.ts';
import { linearScale } from './ruler/scale.ts';
import { usable } from './stations.ts';
import { PLATE } from './words/bench.ts';
import { CHAMBER_LANE } from './words/chamber.ts';

/** A heat-up is fitted each fourth minute. */
const ESTIMATE_EVERY_MS = 240_000;
/** Of a normal spread on either side of the median, quartile to twentieth: 0.674/1.645. */
const QUARTILE_SHARE = 0.41;
/** What is seen on either side of a job's band, °C. */
const BESIDE_BAND_C = 5;

/** A ceiling nearer to the edge of a lane that has closed in would be hatched by a hair. */
const CEILING_INSIDE = 0.5;

const HEATING: ReadonlySet<ChamberState['state']> = new Set(['climbing', 'steady', 'disturbed']);

type Figure = 'p05' | 'p50' | 'p95';

export function chamberLane(facts: LaneFacts, chamber: ChamberState, job: JobState | null): LaneSpec {
  const base = airLane(facts);
  const station = lowerStation(facts.cast);
  if (station?.id !== chamber.station) return base;
  const live = !station.quiet && facts.lostSinceMs === null && chamber.state !== 'unknown';
  const shown = facts.format.shownTemperature;
  const ahead = live ? aheadOf(facts, chamber, usable(station, 't')) : [];
  const along = (take: (point: AheadPoint) => number): Samples => ({
    atMs: ahead.map((point) => point.atMs),
    values: ahead.map((point) => shown(take(point))),
    silenceMs: Number.POSITIVE_INFINITY,
  });
  const inner = (figure: Figure) => (point: AheadPoint) =>
    point.p50 + QUARTILE_SHARE * (point[figure] - point.p50);
  const bands: LaneBand[] =
    ahead.length === 0
      ? []
      : [
          { low: along((point) => point.p05), high: along((point) => point.p95), tint: 1 },
          { low: along(inner('p05')), high: along(inner('p95')), tint: 2 },
        ];
  const name = base.lines[0]?.name ?? '';
  const forecast: LaneLine[] =
    ahead.length === 0 ? [] : [{ ...along((point) => point.p50), look: 'dashed', name }];
  const frame = frameLine(facts, station, chamber, live);
  const [first, ...others] = base.lines;
  const lines = [...(first ? [first] : []), ...forecast, ...frame, ...others];
  const rails = live ? railsOf(facts, chamber, job) : null;
  const arrival = live && !job ? chamberArrival(facts, chamber, rails, first, ahead) : null;
  const seen = extent(
    facts.range,
    lines.filter((line) => line.name !== PLATE.bed),
    bands.slice(0, 1),
  );
  const spread = seen && rails ? { low: seen.low, high: Math.max(seen.high, rails.high) } : seen;
  const zoomed = job && zoomedScale(facts, job);
  const ceiling = ceilingOf(station, zoomed ?? spread, facts.format);
  const steady = chamber.state === 'steady' || job !== null;
  const head =
    base.head && rails
      ? { ...base.head, ...(steady ? { clearOf: clearOf(base.head.value, rails) } : { besideFan: true }) }
      : base.head;
  const { ceiling: _, ...rest } = base;
  return {
    ...rest,
    scale: zoomed ?? airScale(withCeiling(spread, ceiling), facts.format),
    lines,
    bands,
    ...(ceiling && (!zoomed || ceiling.value < zoomed.high - CEILING_INSIDE) && { ceiling }),
    ...(rails && { rails }),
    ...(arrival && { arrival }),
    ...(job && { events: eventsOf(facts, chamber, job) }),
    head,
    silence:
      base.silence && chamber.heatOnMs !== null
        ? { ...base.silence, words: [...base.silence.words, CHAMBER_LANE.noForecast], toEnd: true }
        : base.silence,
    spoken: spokenOf(facts, station),
  };
}

/** From the air as it is heard now, which no forecast knows better. */
function aheadOf(facts: LaneFacts, chamber: ChamberState, airC: number | null): readonly AheadPoint[] {
  const later = chamber.forecast.filter((point) => point.atMs > facts.clockMs);
  if (airC === null || later.length === 0 || chamber.state === 'cold') return [];
  return [{ atMs: facts.clockMs, p05: airC, p50: airC, p95: airC }, ...later];
}

function frameLine(
  facts: LaneFacts,
  station: StationState,
  chamber: ChamberState,
  live: boolean,
): readonly LaneLine[] {
  const known = samplesIn(facts, station, 'soak.frame', 'line', ESTIMATE_EVERY_MS);
  const atMs = [...(known?.atMs ?? [])];
  const values = (known?.values ?? []).map(facts.format.shownTemperature);
  const { frameC, fittedMs } = chamber;
  if (live && frameC !== null && fittedMs !== null && fittedMs > (atMs.at(-1) ?? 0)) {
    atMs.push(fittedMs);
    values.push(facts.format.shownTemperature(frameC));
  }
  const silenceMs = known?.silenceMs ?? 3 * ESTIMATE_EVERY_MS;
  return atMs.length === 0 ? [] : [{ atMs, values, silenceMs, look: 'dotted', name: CHAMBER_LANE.frame }];
}

const inUnit = (format: Format, celsius: number): string =>
  withUnit(format.temperature(celsius), format.temperatureUnit);

function railsOf(facts: LaneFacts, chamber: ChamberState, job: JobState | null): Rails | null {
  const { format, narrow } = facts;
  const about = (middleC: number, bandC: number) => ({
    low: format.shownTemperature(middleC - bandC),
    high: format.shownTemperature(middleC + bandC),
  });
  if (job && job.referenceC !== null) {
    const rails = about(job.referenceC, job.bandC);
    const label = CHAMBER_LANE.held(
      fixed(rails.low, 1),
      withUnit(fixed(rails.high, 1), format.temperatureUnit),
    );
    return { ...rails, fromMs: job.startedMs, label };
  }
  const final = chamber.finalAirC;
  if (!final || !HEATING.has(chamber.state)) return null;
  const ends = inUnit(format, final.p50);
  return {
    ...about(final.p50, chamber.readyBandC),
    fromMs: facts.nowMs,
    label: narrow
      ? CHAMBER_LANE.endsAtShort(ends)
      : CHAMBER_LANE.endsAt(ends, format.temperatureRange(final.p05, final.p95)),
  };
}

/** A job's band and a little beside it: what is of no matter to the job may leave the picture. */
function zoomedScale(facts: LaneFacts, job: JobState) {
  if (job.referenceC === null || facts.range.toMs <= job.startedMs) return null;
  const reach = job.bandC + BESIDE_BAND_C;
  const { shownTemperature } = facts.format;
  const [low, high] = [shownTemperature(job.referenceC - reach), shownTemperature(job.referenceC + reach)];
  const { ticks, kind } = linearScale({ low, high }, high - low);
  return { kind, low, high, ticks: ticks.filter((tick) => tick.at >= low && tick.at <= high) };
}

/** The newest value's words stand above the upper rail where the value lies between the two, or just below them. */
function clearOf(value: number, rails: Rails): number {
  const height = rails.high - rails.low;
  return value > rails.low - height && value < rails.high ? rails.high : value;
}

function eventsOf(facts: LaneFacts, chamber: ChamberState, job: JobState): readonly LaneEvent[] {
  const { format, clockMs } = facts;
  return job.excursions.flatMap((one): LaneEvent[] => {
    if (one.station !== chamber.station || (one.kind !== 'door' && one.kind !== 'chamber-off')) return [];
    const clock = format.when(one.fromMs, clockMs);
    const lasted = one.toMs === null ? null : roundAge(one.toMs - one.fromMs);
    const worst = one.worst === null ? '' : inUnit(format, one.worst);
    const fell = one.worst !== null && one.limit !== null && one.worst < one.limit;
    return [
      {
        atMs: one.fromMs,
        label: one.kind === 'door' ? CHAMBER_LANE.door(clock, lasted) : CHAMBER_LANE.off(clock, lasted),
        sub: worst === '' ? '' : fell ? CHAMBER_LANE.downTo(worst) : CHAMBER_LANE.upTo(worst),
      },
    ];
  });
}

/** Where it was thought to end, and how far the frame was behind: as estimated at a time, not ahead. */
function spokenOf(facts: LaneFacts, station: StationState): (atMs: number) => readonly string[] {
  const { format, clockMs } = facts;
  const at = (figure: string, atMs: number): number | null => {
    const samples = samplesIn(facts, station, `soak.${figure}`, 'line', ESTIMATE_EVERY_MS);
    return samples && valueNear(samples, atMs);
  };
  return (atMs) => {
    if (atMs > clockMs) return [];
    const [low, final, high] = [at('final_p05', atMs), at('final_p50', atMs), at('final_p95', atMs)];
    const lag = at('frame_lag', atMs);
    return [
      ...(low === null || final === null || high === null
        ? []
        : [CHAMBER_LANE.wasToEnd(inUnit(format, final), format.temperatureRange(low, high))]),
      ...(lag === null ? [] : [CHAMBER_LANE.frameBehind(format.temperatureStep(lag))]),
    ];
  };
}
