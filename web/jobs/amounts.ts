/** Grams and stretches of time as a job's sentences have them. */
import { age, fixed, withUnit } from '../format.ts';
import { grams } from '../usable.ts';

export const gramsIn = (amountG: number): string =>
  amountG < 10 ? withUnit(fixed(amountG, 1), 'g') : grams(amountG);
export const spanText = (ms: number): string => age(Math.max(60_000, Math.round(ms / 60_000) * 60_000));
/** Of a time that is foretold: no finer than five minutes from half an hour on. */
export const waitText = (ms: number): string =>
  spanText(ms < 1_800_000 ? ms : Math.round(ms / 300_000) * 300_000);
