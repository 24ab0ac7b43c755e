/** The job as it is typed, as the address keeps it, and as the server is asked about it. Pure. */
import type { StartQuery } from '../../server/api/messages-jobs.ts';
import { count } from '../format.ts';
import { ASK } from '../words/jobs.ts';

/** As typed: texts, empty where nothing was. `pace` says whether `time` is hours or grams an hour. */
export const FIELDS = [
  'name',
  'spool',
  'grams',
  'pace',
  'time',
  'chamber',
  'chamberC',
  'boxC',
  'exit',
  'tubeM',
  'tube',
  'stood',
  'sure',
] as const;
export type Field = (typeof FIELDS)[number];
export type Typed = Readonly<Record<Field, string>>;

/** What an address without a word about it means. */
export const USUAL: Typed = {
  name: '',
  spool: '',
  grams: '',
  pace: 'hours',
  time: '',
  chamber: '',
  chamberC: '',
  boxC: '',
  exit: 'closed',
  tubeM: '',
  tube: 'damp',
  stood: '',
  sure: '0.9',
};
/** Said in the address instead of a chamber. */
export const NO_CHAMBER = 'none';
export const SURES = ['0.8', '0.9', '0.95'] as const;
const LONGEST_TEXT = 80;

export function typedIn(query: string): Typed {
  const params = new URLSearchParams(query);
  const typed = Object.fromEntries(
    FIELDS.map((field) => [field, (params.get(field) ?? USUAL[field]).slice(0, LONGEST_TEXT)]),
  ) as Record<Field, string>;
  if (typed.pace !== 'rate') typed.pace = 'hours';
  if (typed.exit !== 'open') typed.exit = 'closed';
  if (typed.tube !== 'dry') typed.tube = 'damp';
  if (!SURES.some((sure) => sure === typed.sure)) typed.sure = USUAL.sure;
  return typed;
}

/** Parts of the address that are no field stay as they are; what is usual is left out. */
export function withTyped(query: string, typed: Typed): string {
  const params = new URLSearchParams(query);
  for (const field of FIELDS)
    if (typed[field] === USUAL[field]) params.delete(field);
    else params.set(field, typed[field]);
  return params.toString();
}

export interface Bounds {
  readonly spools: readonly string[];
  readonly chambers: readonly string[];
  /** Temperatures are typed in °F. */
  readonly fahrenheit: boolean;
}

export type AskedJob =
  | { readonly ok: true; readonly query: StartQuery }
  /** `missing`: not all is typed yet, which is no mistake. */
  | {
      readonly ok: false;
      readonly missing: boolean;
      readonly wrong: Readonly<Partial<Record<Field, string>>>;
    };

/** A comma serves as a decimal point, a true minus as one. */
function numberIn(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('\u2212', '-');
  return /^-?(\d*\.?\d+|\d+\.)$/.test(plain) ? Number(plain) : null;
}

/** What a blank takes, and a number such as might stand there. */
interface Allowed {
  readonly least: number;
  /** Whether the least itself is taken. */
  readonly leastToo: boolean;
  readonly most: number;
  readonly such: number;
}
const above = (least: number, most: number, such: number): Allowed => ({
  least,
  leastToo: false,
  most,
  such,
});
const from = (least: number, most: number, such: number): Allowed => ({ least, leastToo: true, most, such });

const toCelsius = (value: number, fahrenheit: boolean): number =>
  fahrenheit ? Math.round(((value - 32) / 1.8) * 10) / 10 : value;

export function readJob(typed: Typed, bounds: Bounds): AskedJob {
  const wrong: Partial<Record<Field, string>> = {};
  const read = (field: Field, what: string, allowed: Allowed): number | undefined => {
    const { least, leastToo, most, such } = allowed;
    const text = typed[field].trim();
    if (text === '') return undefined;
    const value = numberIn(text);
    if (value === null) wrong[field] = ASK.noNumber(text, what, String(such));
    else if (value < least || value > most || (value === least && !leastToo))
      wrong[field] = ASK.outside(text, what, count(least), count(most), leastToo);
    else return value;
    return undefined;
  };
  const heat = (field: Field, what: string, allowed: Allowed): number | undefined => {
    const shown = (celsius: number): number => (bounds.fahrenheit ? Math.round(celsius * 1.8 + 32) : celsius);
    const { least, most, such } = allowed;
    const inUnit = { ...allowed, least: shown(least), most: shown(most), such: shown(such) };
    const value = read(field, what, inUnit);
    return value === undefined ? undefined : toCelsius(value, bounds.fahrenheit);
  };
  const grams = read('grams', ASK.fields.grams, above(0, 50_000, 150));
  const time =
    typed.pace === 'rate'
      ? read('time', ASK.fields.rate, above(0, 5000, 20))
      : read('time', ASK.fields.hours, above(0, MOST_HOURS, 7));
  const hours = typed.pace !== 'rate' || time === undefined || grams === undefined ? time : grams / time;
  if (typed.pace === 'rate' && hours !== undefined && hours > MOST_HOURS)
    wrong.time = ASK.tooSlow(count(hours), count(MOST_HOURS));
  const chamberC = heat('chamberC', ASK.fields.chamberC, above(0, 200, 50));
  const boxC = heat('boxC', ASK.fields.boxC, from(0, 150, 60));
  const tubeM = read('tubeM', ASK.fields.tubeM, above(0, 20, 1.2));
  const stood = read('stood', ASK.fields.stood, from(0, 100_000, 30));
  const spool = bounds.spools.includes(typed.spool) ? typed.spool : bounds.spools[0];
  const chamber =
    typed.chamber === NO_CHAMBER
      ? undefined
      : bounds.chambers.includes(typed.chamber)
        ? typed.chamber
        : bounds.chambers[0];
  if (Object.keys(wrong).length > 0) return { ok: false, missing: false, wrong };
  if (grams === undefined || hours === undefined || spool === undefined)
    return { ok: false, missing: true, wrong };
  return {
    ok: true,
    query: {
      spool,
      ...(chamber === undefined ? {} : { chamber, ...(chamberC === undefined ? {} : { chamberC }) }),
      grams,
      hours,
      sure: Number(typed.sure),
      ...(boxC === undefined ? {} : { boxC }),
      ...(typed.exit === 'open' ? { exitOpen: true } : {}),
      ...(tubeM === undefined ? {} : { tubeM, tubeDry: typed.tube === 'dry' }),
      ...(tubeM === undefined || stood === undefined ? {} : { tubeStoodMin: stood }),
    },
  };
}

const MOST_HOURS = 240;

export function pathOf(path: string, query: StartQuery): string {
  const params = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) params.set(name, String(value));
  return `${path}?${params}`;
}

/** An id for a job begun at a time of the bench: "20260304-111042". */
export const jobIdAt = (atMs: number): string =>
  new Date(atMs).toISOString().slice(0, 19).replaceAll(/[-:]/g, '').replace('T', '-');
