/** One station as its lines tell it: newest values, its rhythm, its minute of air, what went wrong and how often. */
import { isExtra, isImplausible, keyEntry } from '../../firmware-protocol/keys.ts';
import type { Fault, LineReading } from '../../firmware-protocol/line.ts';
import type { Instant } from '../clock.ts';
import type { StationConfig } from '../config/bench.ts';
import type { ReadingRecord, Sample, StationSummary } from '../records.ts';
import { type AirFacts, airFacts } from './air.ts';
import { createMinute } from './minute.ts';
import { medianInterval, QUIET_LEAST_MS, quietAfterMs, rememberInterval } from './rhythm.ts';

export interface StationView {
  readonly id: string;
  readonly heardMs: number | null;
  readonly intervalMs: number | null;
  readonly quiet: boolean;
  readonly checked: boolean;
  readonly values: Readonly<Record<string, number>>;
  readonly flagged: readonly string[];
  readonly faults: Readonly<Record<string, Fault>>;
  readonly air: ({ readonly atMs: number } & AirFacts) | null;
  /** Since midnight UTC or the start, by reason: `fault.rh.nack`, `flagged.t`, `unknown-key.co2`. */
  readonly counts: Readonly<Record<string, number>>;
}

export interface Station {
  /** Takes in a reading; `uptimeGapMs` is the board's own time since its line before for this station. */
  take(line: LineReading, checked: boolean, at: Instant, uptimeGapMs: number | null): Taken;
  /** The board began again: its rhythm is learned anew. */
  forgetRhythm(): void;
  /** The wall clock was set: the minute's seconds no longer line up. */
  forgetMinute(): void;
  /** Judges silence, by monotonic time; true when the answer changed. */
  judgeQuiet(now: Instant): boolean;
  airAt(atMs: number): AirFacts | null;
  view(): StationView;
  summary(): StationSummary;
}

export interface Taken {
  readonly record: ReadingRecord;
  readonly samples: readonly Sample[];
  /** It had been quiet, or was never heard before. */
  readonly woke: boolean;
}

interface Tally {
  count: number;
  min: number;
  sum: number;
  max: number;
}

/** Free extras and unknown keys may be many; beyond this the newest names are not tallied apart. */
const MOST_KEYS = 64;

/** Series computed from a reading's minute: dew point, vapour density and what the tolerance leaves of it. */
function derived(facts: AirFacts | null): [string, number][] {
  const band = facts?.vapourDensityBandGPerM3;
  const all: [string, number | null | undefined][] = [
    ['dew', facts?.dewPointC],
    ['vapour', facts?.vapourDensityGPerM3],
    ['vapour_low', band?.low],
    ['vapour_high', band?.high],
  ];
  return all.filter((pair): pair is [string, number] => pair[1] != null);
}

export function createStation(
  config: StationConfig,
  pressurePa: number,
  quietLeastMs = QUIET_LEAST_MS,
): Station {
  const tolerance = { rhPercent: config.rhTolerancePercent, temperatureC: config.temperatureToleranceC };
  const minute = createMinute();
  const tallies = new Map<string, Tally>();
  const faultTotals: Record<string, number> = {};
  let readings = 0;
  let intervals: readonly number[] = [];
  let day = -1;
  let counts: Record<string, number> = {};
  let heardMonotonicMs = 0;
  let view: StationView = {
    id: config.id,
    heardMs: null,
    intervalMs: null,
    quiet: false,
    checked: true,
    values: {},
    flagged: [],
    faults: {},
    air: null,
    counts,
  };

  const count = (reason: string): void => {
    if (reason in counts || Object.keys(counts).length < MOST_KEYS)
      counts[reason] = (counts[reason] ?? 0) + 1;
  };
  const tally = (key: string, value: number): void => {
    const found = tallies.get(key);
    if (found) {
      found.count++;
      found.min = Math.min(found.min, value);
      found.sum += value;
      found.max = Math.max(found.max, value);
    } else if (tallies.size < MOST_KEYS) tallies.set(key, { count: 1, min: value, sum: value, max: value });
  };

  return {
    take(line, checked, at, uptimeGapMs) {
      const atMs = at.wallMs;
      heardMonotonicMs = at.monotonicMs;
      const today = Math.floor(atMs / 86_400_000);
      if (today !== day) {
        day = today;
        counts = {};
      }
      readings++;
      const flagged: string[] = [];
      const samples: Sample[] = [];
      for (const [key, value] of Object.entries(line.values)) {
        const implausible = isImplausible(key, value);
        samples.push({ station: config.id, key, atMs, value, flagged: implausible });
        if (implausible) {
          flagged.push(key);
          count(`flagged.${key}`);
        } else tally(key, value);
        if (!keyEntry(key) && !isExtra(key)) count(`unknown-key.${key}`);
      }
      for (const [key, fault] of Object.entries(line.faults)) {
        count(`fault.${key}.${fault}`);
        faultTotals[`${key}.${fault}`] = (faultTotals[`${key}.${fault}`] ?? 0) + 1;
      }
      const usable = (key: string): number | null =>
        flagged.includes(key) ? null : (line.values[key] ?? null);
      const temperature = usable('t');
      if (temperature !== null) minute.add(atMs, temperature, usable('rh'));
      const facts = temperature === null ? null : airAt(atMs);
      for (const [key, value] of derived(facts))
        samples.push({ station: config.id, key, atMs, value, flagged: false });
      if (uptimeGapMs !== null && uptimeGapMs > 0) intervals = rememberInterval(intervals, uptimeGapMs);
      const woke = view.quiet || view.heardMs === null;
      view = {
        id: config.id,
        heardMs: atMs,
        intervalMs: medianInterval(intervals),
        quiet: false,
        checked,
        values: { ...view.values, ...line.values },
        flagged: [...view.flagged.filter((key) => !(key in line.values)), ...flagged],
        faults: {
          ...Object.fromEntries(Object.entries(view.faults).filter(([key]) => !(key in line.values))),
          ...line.faults,
        },
        air: facts ? { atMs, ...facts } : view.air,
        counts,
      };
      const record: ReadingRecord = {
        at: new Date(atMs).toISOString(),
        kind: 'reading',
        station: config.id,
        boot: line.boot,
        seq: line.seq,
        uptimeMs: line.uptimeMs,
        checked,
        values: line.values,
        faults: line.faults,
        ...(flagged.length > 0 ? { flagged } : {}),
      };
      return { record, samples, woke };
    },
    forgetRhythm() {
      intervals = [];
    },
    forgetMinute() {
      minute.clear();
    },
    judgeQuiet(now) {
      if (view.heardMs === null) return false;
      const quiet = now.monotonicMs - heardMonotonicMs > quietAfterMs(view.intervalMs, quietLeastMs);
      if (quiet === view.quiet) return false;
      view = { ...view, quiet };
      return true;
    },
    airAt,
    view: () => view,
    summary: () => ({
      readings,
      faults: { ...faultTotals },
      values: Object.fromEntries(
        [...tallies].map(([key, t]) => [
          key,
          { count: t.count, min: t.min, mean: t.sum / t.count, max: t.max },
        ]),
      ),
    }),
  };

  /** The minute's means; for a station slower than a minute its newest reading, while it is not quiet. */
  function airAt(atMs: number): AirFacts | null {
    const means = minute.meansAt(atMs);
    if (means) return airFacts(means, tolerance, pressurePa);
    if (
      view.air &&
      view.heardMs !== null &&
      atMs - view.heardMs <= quietAfterMs(view.intervalMs, quietLeastMs)
    )
      return view.air;
    return null;
  }
}
