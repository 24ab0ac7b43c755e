/**
 * Two attempts side by side: which measured conditions and settings differ most. What differs is not yet the cause;
 * the list only says where to look first.
 */
import { type ExcursionKind, type Job, MEASURES, type Measure } from './job.ts';
import { meanOf, sdOf } from './window.ts';

export interface Difference {
  /** A measure's mean, its sway, time in excursions of a kind, or a setting. */
  readonly what:
    | { readonly kind: 'mean' | 'sway' | 'highest'; readonly measure: Measure }
    | { readonly kind: 'excursion'; readonly excursion: ExcursionKind }
    | { readonly kind: 'p-spool-at-start' }
    | { readonly kind: 'setting'; readonly name: string };
  readonly left: number | string | null;
  readonly right: number | string | null;
  /** In units of what usually matters; the list is ordered by it, largest first. */
  readonly size: number;
}

/** A difference of this much is worth a look (judgement); moisture goes by the limit. */
const MATTERS: Readonly<Record<Exclude<Measure, 'fedWtPercent'>, number>> = {
  chamberC: 3,
  bedC: 4,
  boxC: 5,
  boxRhPercent: 5,
  boxVapourGPerM3: 3,
  roomC: 3,
  roomVapourGPerM3: 3,
};
const MATTERS_SWAY_C = 1;
const MATTERS_EXCURSION_MIN = 10;
const MATTERS_PROBABILITY = 0.15;
/** Of the limit. */
const MATTERS_MOISTURE = 0.25;
/** A number among the settings: this share of the larger; a word that differs counts so much. */
const MATTERS_SETTING = 0.1;
const OTHER_WORD = 1.5;
/** Smaller ones are not told. */
const LEAST = 0.5;

export function compareJobs(left: Job, right: Job): readonly Difference[] {
  const found: Difference[] = [];
  const add = (what: Difference['what'], a: number | null, b: number | null, matters: number): void => {
    if (a === null || b === null) return;
    found.push({ what, left: a, right: b, size: Math.abs(a - b) / matters });
  };
  for (const measure of MEASURES) {
    const [a, b] = [left.measures[measure], right.measures[measure]];
    if (measure === 'fedWtPercent') {
      const matters = MATTERS_MOISTURE * Math.min(left.limitWtPercent, right.limitWtPercent);
      add({ kind: 'highest', measure }, a?.max ?? null, b?.max ?? null, matters);
    } else add({ kind: 'mean', measure }, meanOf(a), meanOf(b), MATTERS[measure]);
  }
  const [swayA, swayB] = [sdOf(left.measures.chamberC), sdOf(right.measures.chamberC)];
  add({ kind: 'sway', measure: 'chamberC' }, swayA, swayB, MATTERS_SWAY_C);
  add({ kind: 'p-spool-at-start' }, left.pSpoolAtStart, right.pSpoolAtStart, MATTERS_PROBABILITY);
  const kinds = new Set([...left.excursions, ...right.excursions].map(({ kind }) => kind));
  for (const kind of kinds) {
    const [a, b] = [minutesOut(left, kind), minutesOut(right, kind)];
    add({ kind: 'excursion', excursion: kind }, a, b, MATTERS_EXCURSION_MIN);
  }
  found.push(...settings(left, right));
  return found.filter(({ size }) => size >= LEAST).sort((a, b) => b.size - a.size);
}

/** Minutes of a job in excursions of a kind. */
export function minutesOut(job: Job, kind: ExcursionKind): number {
  return job.excursions
    .filter((one) => one.kind === kind)
    .reduce((sum, { fromMs, toMs }) => sum + ((toMs ?? job.atMs) - fromMs) / 60_000, 0);
}

function settings(left: Job, right: Job): Difference[] {
  const names = new Set([...Object.keys(left.plan.settings), ...Object.keys(right.plan.settings)]);
  return [...names].flatMap((name): Difference[] => {
    const a = left.plan.settings[name] ?? null;
    const b = right.plan.settings[name] ?? null;
    if (a === b) return [];
    const size =
      typeof a === 'number' && typeof b === 'number'
        ? Math.abs(a - b) / (MATTERS_SETTING * Math.max(Math.abs(a), Math.abs(b)))
        : OTHER_WORD;
    return [{ what: { kind: 'setting', name }, left: a, right: b, size }];
  });
}
