/** Of the Spools screen: one line a spool, its life as a strip, its diary. */
import { capital, inWords, plural } from './ground.ts';

export const SPOOLS = {
  heading: (usable: number, all: number) =>
    all === 0
      ? 'No spool is described yet.'
      : usable === 0
        ? 'No spool has filament that can be counted on.'
        : usable === all
          ? `${capital(inWords(all))} ${plural(all, 'spool')}, and all can be printed from.`
          : `${capital(inWords(usable))} of ${inWords(all)} spools can be printed from.`,
  tell: 'Counted on: grams from the outside in whose every turn is under the limit, nine times in ten.',
  tellNone: 'Put one on the bench, with its place, material and mass.',
  where: (station: string) => `in ${station}`,
  out: 'out of its box',
  noEstimate: 'nothing heard of it yet',
  grams: (sure: string, likely: string) => `${sure} counted on, ${likely} likely`,
  none: 'none can be counted on',
  left: (left: string, whole: string) => `${left} left of ${whole}`,
  strip: (days: number, from: string, to: string) =>
    `Moisture over the last ${days === 1 ? 'day' : `${days} days`}, from ${from} to ${to}`,
  stripNone: 'No estimate in the last 14 days',
  stripSpan: (days: number) => `last ${days === 1 ? 'day' : `${days} days`}`,
  diary: (spool: string) => `Diary of ${spool}`,
  nothing: 'Nothing has been entered of it yet.',
  missing: 'The diary has not arrived; it is asked for again when something is entered.',
  takenBack: 'taken back',
  undo: 'Take this weigh-in back',
  undoing: 'Being sent…',
  undone: 'Taken back: from the next fit on it counts no more.',
  refused: (sentence: string) => `Not taken back: ${sentence}`,
  first: 'A first weigh-in says nothing by itself: only changes of mass do.',
  waiting: 'The next fit, within ten minutes, tells how far it narrows the band.',
  narrowed: (before: string, after: string, percent: number) =>
    percent > 0
      ? `Band ${before}\u00a0% before, ${after}\u00a0% after: ${percent}\u00a0% narrower.`
      : `Band ${before}\u00a0% before, ${after}\u00a0% after: no narrower.`,
} as const;

export const ADD_SPOOL = {
  head: 'Put a spool on the bench',
  limit: 'Own limit, wt %',
  limitHint: 'empty: where printing troubles begin',
  add: 'Put it on the bench',
  added: (name: string) => `${name} is on the bench, which begins anew with it.`,
  needMass: 'Give the filament’s mass in grams, 1 to 20000.',
  needLimit: 'A limit is a number above 0, at most 20 wt %; leave it empty for the usual one.',
  remove: 'Take it off the bench',
  keep: 'Keep it',
  sure: (id: string) => `Take ${id} off? Its history stays; put on again it is a new spool.`,
  removed: (id: string) => `${id} is off the bench.`,
} as const;
