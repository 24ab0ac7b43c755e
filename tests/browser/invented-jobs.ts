/** Invented jobs: a start check that says not yet, one that runs, and two that have ended. */
import type {
  DifferencesAnswer,
  JobState,
  StartChancesWire,
  StartFindingWire,
} from '../../server/api/messages-jobs.ts';
import type { History } from './bench-double.ts';
import { NOW_MS } from './invented-bench.ts';
import { clockMs, quantiles, SPOOL_MORNING } from './invented-spool.ts';

const HOUR = 3_600_000;
const MINUTE = 60_000;

/** The spool decides; the chamber would be there 55 min earlier and its bed is off. */
export const findingOf = (parts: Partial<StartFindingWire> = {}): StartFindingWire => ({
  outcome: 'start-later',
  earliestMs: clockMs(15, 20),
  spoolReadyMs: clockMs(15, 20),
  chamberReadyMs: clockMs(13, 45),
  hoursToSpool: 3.16,
  hoursToChamber: 1.57,
  bedOnByMs: clockMs(13, 45),
  bedOn: false,
  ifNow: {
    pSpool: 0.02,
    pChamber: 0,
    tooWetG: quantiles(12, 45, 80),
    underG: quantiles(40, 75, 108),
    wettestWtPercent: quantiles(0.25, 0.31, 0.38),
    purgeG: 2.4,
  },
  reasons: [
    { kind: 'spool-ready', atMs: clockMs(15, 20), probability: 0.91 },
    { kind: 'chamber-ready', atMs: clockMs(13, 45), probability: 0.9 },
    { kind: 'decides', what: 'spool', otherEarlierMin: 95 },
    { kind: 'bed-on-by', atMs: clockMs(13, 45), basis: 'earlier-heat-up' },
  ],
  ...parts,
});

/** An S from never to sure about 14:00; the chamber's, were its bed to come on now, about 13:20. */
export const CHANCES: StartChancesWire = {
  bedOn: false,
  chances: Array.from({ length: 49 }, (_, i) => {
    const atMs = NOW_MS + (i * HOUR) / 2;
    const s = (middleMs: number, widthMs: number): number => 1 / (1 + Math.exp(-(atMs - middleMs) / widthMs));
    return { atMs, pSpool: s(clockMs(14, 0), 0.6 * HOUR), pChamber: s(clockMs(13, 20), 0.18 * HOUR) };
  }),
};

export const jobOf = (parts: Partial<JobState> = {}): JobState => ({
  id: '20260304-083000',
  name: 'hinge brackets',
  spool: 'gear',
  chamber: 'rig',
  grams: 120,
  hours: 7,
  chamberC: 55,
  exitOpen: false,
  settings: { nozzleC: 260, sheet: 'garolite' },
  state: 'running',
  startedMs: clockMs(9, 30),
  endedMs: null,
  atMs: NOW_MS - 20_000,
  printedMs: NOW_MS - 20_000 - clockMs(9, 30),
  fedG: 45.6,
  takenBeforeG: 0,
  referenceC: 55,
  bandC: 3,
  limitWtPercent: 0.2,
  pSpoolAtStart: 0.92,
  fedWtPercent: quantiles(0.1, 0.13, 0.17),
  excursions: [],
  measures: {},
  outcome: null,
  note: '',
  ...parts,
});

export const DOOR: JobState['excursions'][number] = {
  kind: 'door',
  station: 'rig',
  fromMs: clockMs(10, 5),
  toMs: clockMs(10, 9),
  worst: null,
  limit: null,
  unit: null,
};
export const CHAMBER_OFF: JobState['excursions'][number] = {
  kind: 'chamber-off',
  station: 'rig',
  fromMs: clockMs(11, 50),
  toMs: null,
  worst: 51.4,
  limit: 55,
  unit: '°C',
};

const yesterday = (hour: number, minute: number): number => clockMs(hour, minute) - 24 * HOUR;
export const GOOD = jobOf({
  id: 'first',
  name: 'brackets, first',
  state: 'ended',
  startedMs: yesterday(9, 0),
  endedMs: yesterday(14, 0),
  atMs: yesterday(14, 0),
  hours: 5,
  printedMs: 5 * HOUR,
  fedG: 120,
  outcome: 'good',
  note: 'as it should be',
});
export const WARPED = jobOf({
  ...GOOD,
  id: 'second',
  name: 'brackets, second',
  startedMs: yesterday(15, 0),
  endedMs: yesterday(19, 10),
  atMs: yesterday(19, 10),
  printedMs: 4 * HOUR + 10 * MINUTE,
  fedG: 100,
  settings: { nozzleC: 275, sheet: 'garolite' },
  excursions: [
    { ...CHAMBER_OFF, fromMs: yesterday(15, 40), toMs: yesterday(17, 0), worst: 46.2 },
    { ...DOOR, fromMs: yesterday(15, 36), toMs: yesterday(15, 44) },
  ],
  outcome: 'warped',
  note: 'corner lifted at layer 40',
});

export const DIFFERENCES: DifferencesAnswer = {
  differences: [
    { what: { kind: 'excursion', excursion: 'chamber-off' }, left: 0, right: 80, size: 8 },
    { what: { kind: 'sway', measure: 'chamberC' }, left: 0.3, right: 3.4, size: 3.1 },
    { what: { kind: 'mean', measure: 'chamberC' }, left: 55.1, right: 48.3, size: 2.3 },
    { what: { kind: 'highest', measure: 'fedWtPercent' }, left: 0.17, right: 0.21, size: 0.8 },
    { what: { kind: 'setting', name: 'nozzleC' }, left: 260, right: 275, size: 0.55 },
  ],
};

/** Two prints of yesterday and the one of this morning: a chamber held, one let down, turns that get wetter inwards. */
export const JOB_HISTORY: History = (station, key, atMs) => {
  const job = [GOOD, WARPED].find(({ startedMs, endedMs }) => atMs >= startedMs && atMs < (endedMs ?? 0));
  const start = job?.startedMs ?? clockMs(9, 30);
  const h = (atMs - start) / HOUR;
  const fed = key.match(/^gear\.fed_(p05|p50|p95)$/)?.[1];
  if (fed !== undefined && h >= 0) {
    const middle = 0.11 + (job === WARPED ? 0.024 : 0.012) * h;
    return middle * (fed === 'p05' ? 0.8 : fed === 'p95' ? 1.25 : 1);
  }
  if (station === 'box' && key === 'rh') return 4.1 + 0.5 * Math.sin(h * 2) + (job === WARPED ? 1.5 : 0);
  if (station === 'rig' && key === 't' && (job || atMs >= clockMs(9, 30))) {
    const dip = job === WARPED && h > 0.6 ? 8.8 * Math.exp(-((h - 1.1) ** 2) / 0.3) : 0;
    return 55.1 + 0.3 * Math.sin(h * 9) - dip;
  }
  return SPOOL_MORNING(station, key, atMs);
};
