/**
 * Words of every screen: days, places, faults, and how lists and durations are said. All the page's words stand in this
 * folder, a file for each part of the page, so that it can be said in another language. Sentences are functions of their
 * parts, since word order is a matter of the language too. Figures arrive as text from format.ts.
 *
 * Manners: say what to do or what is in the way, then what it rests on. No first person. Dry, steady and quiet have
 * their own meaning; words of praise ("ok", "ready", "safe") have none and are not used.
 */
import type { Role } from '../../server/api/messages.ts';

export const LANGUAGE = 'en';

export const CALENDAR = {
  weekdays: ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'],
  months: ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
  beforeNoon: 'am',
  afterNoon: 'pm',
} as const;

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];
export const inWords = (number: number): string => NUMBERS[number] ?? String(number);
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
export const plural = (amount: number, one: string, many = `${one}s`): string => (amount === 1 ? one : many);

/** "the box, the room and the chamber". */
export function listed(parts: readonly string[]): string {
  if (parts.length < 2) return parts.join('');
  return `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}

export interface Spoken {
  readonly amount: number;
  readonly unit: 'second' | 'minute' | 'hour' | 'day';
}
export const duration = ({ amount, unit }: Spoken): string => `${amount} ${plural(amount, unit)}`;

export const PLACES: Record<Role, string> = {
  drybox: 'drying box',
  storage: 'storage box',
  chamber: 'chamber',
  room: 'room',
  electronics: 'electronics',
};

/** What a station is called in a sentence; its own name is added where several share a role. */
export const place = (role: Role, name: string | null): string =>
  name === null ? `the ${PLACES[role]}` : `the ${PLACES[role]} “${name}”`;

export const named = (name: string | null): string => (name === null ? '' : `, “${name}”`);

export const ROLE_NOTES: Record<Role, string> = {
  drybox: 'drying box',
  storage: 'storage box, no heat',
  chamber: 'printer chamber',
  room: 'room air',
  electronics: 'electronics',
};

const FAULTS: Record<string, string> = {
  nack: 'the sensor does not answer',
  crc: 'the sensor’s answer arrives damaged',
  range: 'the sensor calls its own value out of range',
  stuck: 'the sensor repeats one value',
};
/** A sensor's fault, as the end of a sentence. */
export const fault = (name: string): string => FAULTS[name] ?? `the sensor reports “${name}”`;

const QUANTITIES: Record<string, string> = {
  t: 'air',
  rh: 'humidity',
  m: 'scale',
  tm: 'load cell',
  ts: 'surface',
  tb: 'bed',
  p: 'pressure',
};
export const quantity = (key: string): string => QUANTITIES[key] ?? key.replace(/^x_/, '');

/** What a counter such as `fault.rh.nack` or `flagged.t` counts. */
export function counted(name: string): string {
  const [kind, key, detail] = name.split('.');
  if (kind === 'fault' && key) return `${quantity(key)}: ${fault(detail ?? '')}`;
  if (kind === 'flagged' && key) return `${quantity(key)}: outside its range`;
  return name.replaceAll('.', ', ');
}

const RESTARTED: Record<string, readonly [one: string, many: string]> = {
  'brown-out': ['brown-out: its supply sagged', 'brown-outs: its supply sags'],
  watchdog: ['watchdog reset: its program hung', 'watchdog resets: its program hangs'],
  external: ['reset by its reset line', 'resets by its reset line'],
  'power-on': ['start after power was off', 'starts after power was off'],
};
/** Why a board began again, and how often. */
export const restarted = (cause: string, number: number, text: string): string =>
  `${text} ${RESTARTED[cause]?.[number === 1 ? 0 : 1] ?? `${plural(number, 'time')}, cause ${cause}`}`;

const REFUSED: Record<string, string> = {
  blank: 'blank',
  'too-long': 'too long',
  'bad-byte': 'with bytes that are no text',
  'not-a-line': 'not LD1',
  version: 'of another version',
  'no-checksum': 'without checksum',
  crc: 'with a wrong checksum',
  malformed: 'malformed',
  'bad-number': 'with a bad number',
  'bad-value': 'with a bad value',
  'no-value': 'without a value',
  'duplicate-key': 'with a repeated key',
};
export const refused = (reason: string, text: string): string =>
  `${text} ${REFUSED[reason] ?? reason.replaceAll('-', ' ')}`;

/** "the gear spool"; a name that says what it is stands alone. */
export const spoolName = (name: string): string =>
  /spool|stock|reel/i.test(name) ? `the ${name}` : `the ${name} spool`;
