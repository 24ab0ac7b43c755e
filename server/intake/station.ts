/** One station as its lines tell it: newest values, its rhythm, its minute of air, what went wrong and how often. */
import { isExtra, isImplausible, keyEntry } from '../../firmware-protocol/keys.ts';
import type { Fault, LineReading } from '../../firmware-protocol/line.ts';
import type { Instant } from '../clock.ts';
import type { StationConfig } from '../config/bench.ts';
import type { ReadingRecord, Sample, StationSummary } from '../records.ts';
import { type AirFacts, airFacts } from './air.ts';
import { correctValues } from './correction.ts';
import { createMinute } from './minute.ts';
import { medianInterval, QUIET_LEAST_MS, quietAfterMs, rememberInterval } from './rhythm.ts';
import { type StuckWatch, watchStuck } from './stuck.ts';

export interface StationView {
  readonly id: string;
  readonly heardMs: number | null;
  readonly intervalMs: number | null;
  readonly quiet: boolean;
  readonly checked: boolean;
  /** Newest values, as the station's calibration has them. */
  readonly values: Readonly<Record<string, number>>;
  /** Day of that calibration; null where the sensors are taken at their word. */
  readonly calibratedOn: string | null;
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
  /** What estimators are told: the record's values, calibrated, and the temperature that a humidity sent apart belongs to. */
  readonly used: Pick<ReadingRecord, 'station' | 'values' | 'flagged'>;
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

/** A sketch that sends temperature and humidity in two lines sends them together; older than this it is another air. */
const PAIR_MS = 5000;
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
  const flaggedTotals: Record<string, number> = {};
  let quietSpells = 0;
  let stuckWatch: StuckWatch = {};
  let lastCellC: number | null = null;
  let lastTemperature: { readonly atMs: number; readonly valueC: number } | null = null;
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
    calibratedOn: config.correction?.calibratedOn ?? null,
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
      const { values, faults } = withoutStuck(line, checked, at);
      lastCellC = values['tm'] !== undefined && !isImplausible('tm', values['tm']) ? values['tm'] : lastCellC;
      const calibrated = config.correction ? correctValues(config.correction, values, lastCellC) : null;
      const meant = calibrated ? { ...values, ...calibrated } : values;
      for (const [key, value] of Object.entries(meant)) {
        // Whether a sensor can mean it is judged by what it said.
        const implausible = isImplausible(key, values[key] as number);
        samples.push({ station: config.id, key, atMs, value, flagged: implausible });
        if (implausible) {
          flagged.push(key);
          count(`flagged.${key}`);
          flaggedTotals[key] = (flaggedTotals[key] ?? 0) + 1;
        } else tally(key, value);
        if (!keyEntry(key) && !isExtra(key)) count(`unknown-key.${key}`);
      }
      for (const [key, fault] of Object.entries(faults)) {
        count(`fault.${key}.${fault}`);
        faultTotals[`${key}.${fault}`] = (faultTotals[`${key}.${fault}`] ?? 0) + 1;
      }
      const usable = (key: string): number | null => (flagged.includes(key) ? null : (meant[key] ?? null));
      const paired = pairedTemperature(meant, faults, at);
      const temperature = usable('t') ?? paired;
      if (temperature !== null) minute.add(atMs, temperature, usable('rh'));
      // What the air was before a sensor failed is not what it is.
      const fails = (key: string): boolean => key in faults || flagged.includes(key);
      const isBlind = fails('t');
      const now = temperature === null ? null : airAt(atMs);
      const facts = now && fails('rh') ? withoutHumidity(now.airTemperatureC) : now;
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
        values: { ...view.values, ...meant },
        calibratedOn: view.calibratedOn,
        flagged: [...view.flagged.filter((key) => !(key in values)), ...flagged],
        faults: {
          ...Object.fromEntries(Object.entries(view.faults).filter(([key]) => !(key in values))),
          ...faults,
        },
        air: facts ? { atMs, ...facts } : isBlind ? null : view.air,
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
        values,
        faults,
        ...(calibrated && Object.keys(calibrated).length > 0 ? { calibrated } : {}),
        ...(flagged.length > 0 ? { flagged } : {}),
      };
      const used =
        paired === null && meant === values
          ? record
          : { ...record, values: paired === null ? meant : { ...meant, t: paired } };
      return { record, used, samples, woke };
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
      if (quiet) quietSpells++;
      return true;
    },
    airAt,
    view: () => view,
    summary: () => ({
      readings,
      faults: { ...faultTotals },
      flagged: { ...flaggedTotals },
      quiet: quietSpells,
      values: Object.fromEntries(
        [...tallies].map(([key, t]) => [
          key,
          { count: t.count, min: t.min, mean: t.sum / t.count, max: t.max },
        ]),
      ),
    }),
  };

  /** The air of which only the temperature is known. */
  function withoutHumidity(airTemperatureC: number): AirFacts {
    return airFacts({ airTemperatureC, relativeHumidityPercent: null }, tolerance, pressurePa);
  }

  /** A line's values, with those of a sensor that repeats itself turned into its fault. */
  function withoutStuck(
    line: LineReading,
    checked: boolean,
    at: Instant,
  ): Pick<LineReading, 'values' | 'faults'> {
    // Our own boards see it themselves, and sooner.
    if (checked) return line;
    const watched = watchStuck(stuckWatch, line.values, at.monotonicMs);
    stuckWatch = watched.watch;
    if (!watched.stuck) return line;
    const { t, rh, ...values } = line.values;
    const stuck: Record<string, Fault> = {};
    if (t !== undefined) stuck['t'] = 'stuck';
    if (rh !== undefined) stuck['rh'] = 'stuck';
    return { values, faults: { ...line.faults, ...stuck } };
  }

  /** The temperature sent just before a humidity that came alone; null where there is none or none is needed. */
  function pairedTemperature(
    values: LineReading['values'],
    faults: LineReading['faults'],
    at: Instant,
  ): number | null {
    const own = values['t'];
    if ('t' in faults) lastTemperature = null;
    if (own !== undefined) {
      lastTemperature = isImplausible('t', own) ? null : { atMs: at.monotonicMs, valueC: own };
      return null;
    }
    if (values['rh'] === undefined || lastTemperature === null) return null;
    return at.monotonicMs - lastTemperature.atMs <= PAIR_MS ? lastTemperature.valueC : null;
  }

  /** The minute's means; for a station slower than a minute its newest reading, while it is not quiet. */
  function airAt(atMs: number): AirFacts | null {
    const means = minute.meansAt(atMs);
    if (means) return airFacts(means, tolerance, pressurePa);
    return view.air && atMs - view.air.atMs <= quietAfterMs(view.intervalMs, quietLeastMs) ? view.air : null;
  }
}
