/** Attempts in words: what differed between two, each with both values, largest first as the server found it. Pure. */
import type { DifferencesAnswer, JobState } from '../../server/api/messages-jobs.ts';
import { type Format, fixed, moisture, spoken, withUnit } from '../format.ts';
import { ATTEMPTS, DIFFER, inTen } from '../words/jobs.ts';
import { type JudgedJob, judgedOf } from './judged.ts';

type Difference = DifferencesAnswer['differences'][number];

export function sayDifference({ what, left, right }: Difference, format: Format): string {
  switch (what.kind) {
    case 'setting':
      return DIFFER.setting(what.name, settingText(left), settingText(right));
    case 'excursion':
      return DIFFER.excursion(what.excursion, minutes(left), minutes(right));
    case 'p-spool-at-start':
      return DIFFER.chance(inTen(Number(left)), inTen(Number(right)));
    case 'highest':
      return DIFFER.highest(percent(left), percent(right));
    case 'sway':
      return DIFFER.sway(degrees(left, format), degrees(right, format));
    case 'mean':
      return DIFFER.mean(
        what.measure,
        measured(what.measure, left, format),
        measured(what.measure, right, format),
      );
  }
}

type Value = Difference['left'];
const numberOf = (value: Value): number | null => (typeof value === 'number' ? value : null);
const percent = (value: Value): string => withUnit(moisture(numberOf(value)), '%');

export const settingText = (value: Value): string => (value === null ? DIFFER.notSaid : String(value));

/** A difference of temperatures has no zero point. */
function degrees(value: Value, format: Format): string {
  const own = (numberOf(value) ?? Number.NaN) * (format.temperatureUnit === '°F' ? 1.8 : 1);
  return withUnit(fixed(own, 1), format.temperatureUnit);
}

function measured(measure: string, value: Value, format: Format): string {
  const own = numberOf(value);
  if (measure.endsWith('RhPercent')) return withUnit(fixed(own, 1), '%RH');
  if (measure.endsWith('GPerM3')) return withUnit(fixed(own, 1), 'g/m³');
  return withUnit(format.temperature(own), format.temperatureUnit);
}

const minutes = (value: Value): string => {
  const own = numberOf(value) ?? 0;
  return DIFFER.time(own < 0.5 ? null : spoken(60_000 * Math.round(own)));
};

export function sayOutcome(job: JobState): string {
  if (job.state === 'running') return ATTEMPTS.running;
  if (job.state === 'paused') return ATTEMPTS.paused;
  return job.outcome === null ? ATTEMPTS.noOutcome : ATTEMPTS.outcome(job.outcome);
}

/** How often it left its window; a pause is the user's own and is counted apart. */
export function sayWindow(job: JudgedJob): string {
  const { excursions } = job;
  const pauses = excursions.filter(({ kind }) => kind === 'pause').length;
  const left = excursions.length - pauses;
  return (
    (left === 0 ? keptText(job) : ATTEMPTS.left(left)) + (pauses === 0 ? '' : ATTEMPTS.pausedToo(pauses))
  );
}

function keptText(job: JudgedJob): string {
  if (judgedOf(job) === 'judged') return ATTEMPTS.keptTo;
  return job.state === 'ended' ? ATTEMPTS.tooShort : ATTEMPTS.notJudged;
}

/** Rows typed by hand as settings; a value that is a number counts as one. Rows without a name are left out. */
export function settingsFrom(rows: readonly (readonly [string, string])[]): Record<string, string | number> {
  return Object.fromEntries(
    rows.flatMap(([name, value]): [string, string | number][] => {
      const [key, text] = [name.trim(), value.trim()];
      if (key === '' || text === '') return [];
      const plain = text.replace(',', '.');
      return [[key, /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : text]];
    }),
  );
}
