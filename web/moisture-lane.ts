/**
 * The lane of a spool's moisture: estimated so far, forecast from *now*, the limit it has to get under and the floor
 * that its air allows. Pure. While its station is quiet nothing is forecast and nothing claimed.
 */
import type { Drying, SpoolState, StationState } from '../server/api/messages.ts';
import { type LaneFacts, samplesIn, silenceOf } from './bench-lanes.ts';
import type { Samples } from './columns.ts';
import { dryWhen, isRunning } from './dry-when.ts';
import { moisture, moistureRange, withUnit } from './format.ts';
import type { LaneBand, LaneLine, LaneSpec } from './ruler/lane-spec.ts';
import { valueNear } from './ruler/sample-near.ts';
import { logScale } from './ruler/scale.ts';
import { grams } from './usable.ts';
import { MOISTURE, WINDING } from './words/spool.ts';

/** Estimates reach history at each refit, every ten minutes. */
export const ESTIMATE_EVERY_MS = 600_000;
/** A logarithm has no nought; this lies under any axis. */
const LEAST_WT_PERCENT = 1e-4;

const NARROW_AXIS = { low: 0.05, high: 2 } as const;
const WIDE_AXIS = { low: 0.02, high: 10 } as const;

export function moistureLane(facts: LaneFacts, spool: SpoolState & { drying: Drying }): LaneSpec {
  const { drying } = spool;
  const station = facts.stations.find((one) => one.id === spool.station) ?? null;
  const heard = station !== null && !station.quiet && facts.lostSinceMs === null;
  const live = heard && drying.state !== 'unknown' && drying.state !== 'idle';
  const now = drying.moistureWtPercent;
  const newest = live ? { atMs: facts.clockMs, ...now } : null;

  const past = (figure: 'p05' | 'p50' | 'p95'): Samples | null => {
    const take = figure === 'p50' ? 'line' : figure === 'p05' ? 'low' : 'high';
    const known = station
      ? samplesIn(facts, station, `${spool.id}.moisture_${figure}`, take, ESTIMATE_EVERY_MS)
      : null;
    const atMs = [...(known?.atMs ?? [])];
    const values = (known?.values ?? []).map(shown);
    if (newest && newest.atMs > (atMs.at(-1) ?? 0)) {
      atMs.push(newest.atMs);
      values.push(shown(newest[figure]));
    }
    const silenceMs = known?.silenceMs ?? 3 * ESTIMATE_EVERY_MS;
    return atMs.length === 0 ? null : { atMs, values, silenceMs };
  };
  const ahead = (figure: 'p05' | 'p50' | 'p95'): Samples | null => {
    // A hot box whose run is not recognised yet: what is known of the spool so far says nothing of what will come.
    const tooEarly = drying.state === 'warming' && drying.runStartMs === null;
    if (!newest || tooEarly || drying.forecast.length === 0) return null;
    const points = [newest, ...drying.forecast.filter((point) => point.atMs > newest.atMs)];
    return {
      atMs: points.map((point) => point.atMs),
      values: points.map((point) => shown(point[figure])),
      silenceMs: Number.POSITIVE_INFINITY,
    };
  };

  const lines: LaneLine[] = [];
  const bands: LaneBand[] = [];
  for (const [make, look] of [
    [past, 'solid'],
    [ahead, 'dashed'],
  ] as const) {
    const [low, median, high] = [make('p05'), make('p50'), make('p95')];
    if (median) lines.push({ ...median, look, name: MOISTURE.line });
    if (low && high) bands.push({ low, high, tint: 1 });
  }
  const drawn = lines.length > 0;
  const nowInSight = facts.nowMs >= facts.range.fromMs && facts.nowMs <= facts.range.toMs;
  const silence = silenceOf(facts, station, undefined, []);
  return {
    id: 'upper',
    title: facts.narrow ? MOISTURE.shortTitle : MOISTURE.title(spool.id),
    unit: MOISTURE.unit,
    axisNote: facts.narrow ? MOISTURE.axisShort : MOISTURE.axis,
    substance: 'water',
    scale: scaleFor(facts, spool, lines),
    lines,
    bands,
    limit: {
      value: spool.limitWtPercent,
      label: MOISTURE.limit(spool.limitKind, moisture(spool.limitWtPercent)),
      ...(spool.limitKind === 'printing' && { sub: MOISTURE.limitGrade }),
    },
    ...reachOf(drying, live),
    ...arrivalOf(facts, spool, live),
    head:
      newest && nowInSight
        ? {
            atMs: newest.atMs,
            value: now.p50,
            text: withUnit(moisture(now.p50), MOISTURE.unit),
            clearOf: now.p95,
          }
        : null,
    silence: silence && {
      ...silence,
      words: [...silence.words, MOISTURE.noForecast],
      toEnd: true,
    },
    spoken: spokenOf(facts, spool, station, live),
    empty: drawn || !heard ? null : drying.state === 'idle' ? MOISTURE.notInside : MOISTURE.nothingYet,
    number: moisture,
  };
}

/** The wettest turn and the usable grams, as they were estimated at a time; nothing is said of them ahead. */
function spokenOf(
  facts: LaneFacts,
  spool: SpoolState & { drying: Drying },
  station: StationState | null,
  live: boolean,
): (atMs: number) => readonly string[] {
  const { wettestTurnWtPercent: wet, readyOuterG: outer } = spool.drying;
  const known = (figure: string): Samples | null =>
    station && samplesIn(facts, station, `${spool.id}.${figure}`, 'line', ESTIMATE_EVERY_MS);
  const at = (figure: string, atMs: number, now: number): number | null => {
    if (atMs > facts.clockMs) return null;
    const samples = known(figure);
    const newestMs = samples?.atMs.at(-1) ?? 0;
    if (live && atMs > newestMs && facts.clockMs - atMs < ESTIMATE_EVERY_MS) return now;
    return samples && valueNear(samples, atMs);
  };
  return (atMs) => {
    const [turn, sure, likely] = [
      at('wettest_p50', atMs, wet.p50),
      at('ready_g_p05', atMs, outer.p05),
      at('ready_g_p50', atMs, outer.p50),
    ];
    return [
      ...(turn === null ? [] : [WINDING.wettest(withUnit(moisture(turn), MOISTURE.unit))]),
      ...(sure === null || likely === null
        ? []
        : [WINDING.usable(grams(wholeTens(sure, Math.floor)), grams(wholeTens(likely, Math.round)))]),
    ];
  };
}

const wholeTens = (amountG: number, round: (tens: number) => number): number => 10 * round(amountG / 10);

const shown = (wtPercent: number): number => Math.max(LEAST_WT_PERCENT, wtPercent);

/** The wide axis where the limit or the medians in sight need it: nothing that matters may lie on an edge. */
function scaleFor(facts: LaneFacts, spool: SpoolState, lines: readonly LaneLine[]) {
  const { fromMs, toMs } = facts.range;
  const inSight = lines.flatMap((line) =>
    line.values.filter((_, index) => line.atMs[index]! >= fromMs && line.atMs[index]! <= toMs),
  );
  const fits = [spool.limitWtPercent, ...inSight].every(
    (value) => value >= NARROW_AXIS.low && value <= NARROW_AXIS.high,
  );
  const { low, high } = fits ? NARROW_AXIS : WIDE_AXIS;
  return logScale(low, high);
}

/** A floor hatched below while the spool dries; while it is kept, the level that it drifts to. */
function reachOf(drying: Drying, live: boolean): Pick<LaneSpec, 'floor' | 'level'> {
  const floor = drying.floorWtPercent;
  if (!live || !floor) return {};
  const mark = (say: (value: string, range: string) => { label: string; sub: string }) => ({
    value: floor.p50,
    ...say(moisture(floor.p50), moistureRange(floor)),
  });
  const drops = isRunning(drying) || drying.state === 'dry';
  return drops ? { floor: mark(MOISTURE.floor) } : { level: mark(MOISTURE.level) };
}

/** Where the fan crosses the limit: a bar on the limit line, the ring at the median's crossing. */
function arrivalOf(
  facts: LaneFacts,
  spool: SpoolState & { drying: Drying },
  live: boolean,
): Pick<LaneSpec, 'arrival' | 'warning'> {
  const { drying } = spool;
  if (!live || !isRunning(drying)) return {};
  const { format, clockMs } = facts;
  const onLimit = { value: spool.limitWtPercent, mark: 'ring', words: 'above' } as const;
  const when = dryWhen(drying, clockMs);
  const ringWords = (atMs: number): string =>
    atMs < clockMs
      ? MOISTURE.dryLikely(format.about(atMs, clockMs))
      : MOISTURE.dryAt(format.about(atMs, clockMs));
  switch (when.kind) {
    case 'about':
    case 'between':
      return {
        arrival: {
          ...onLimit,
          fromMs: when.p05Ms,
          ringMs: when.p50Ms,
          toMs: when.p95Ms,
          label: ringWords(when.p50Ms),
          fromLabel: MOISTURE.dryFrom(format.about(when.p05Ms, clockMs)),
          sub: format.aboutRange(when.p05Ms, when.p95Ms, clockMs),
        },
      };
    case 'from':
      return {
        arrival: {
          ...onLimit,
          fromMs: when.p05Ms,
          ringMs: when.p50Ms,
          toMs: null,
          label: when.p50Ms === null ? MOISTURE.dryOpen : ringWords(when.p50Ms),
          fromLabel: MOISTURE.dryFrom(format.about(when.p05Ms, clockMs)),
          sub: MOISTURE.openRange(format.about(when.p05Ms, clockMs), when.open),
        },
      };
    case 'perhaps-never':
      return when.p05Ms === null
        ? { warning: MOISTURE.perhapsNotReached(moisture(spool.limitWtPercent)) }
        : {
            arrival: {
              ...onLimit,
              fromMs: when.p05Ms,
              ringMs: null,
              toMs: null,
              label: MOISTURE.dryOpen,
              fromLabel: MOISTURE.dryOpen,
              sub: MOISTURE.openRange(format.about(when.p05Ms, clockMs), 'never'),
            },
          };
    case 'never':
      return {
        warning: facts.narrow
          ? MOISTURE.notReachedShort
          : MOISTURE.notReached(moisture(spool.limitWtPercent)),
      };
    default:
      return {};
  }
}
