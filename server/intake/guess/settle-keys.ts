/** From what each number of a sketch says for itself to one key for each: no key twice, and places read as a last resort. */
import { isImplausible } from '../../../firmware-protocol/keys.ts';
import { extraKey, type Ground, type Quantity } from './quantity.ts';

/** One place in the lines of one shape where a number stands. */
export interface Slot {
  readonly shape: number;
  readonly label: string;
  readonly values: readonly number[];
  readonly quantity: Quantity;
}

export interface Settled {
  readonly key: string;
  readonly why: string;
  readonly ground: Ground;
}

const RANK: Readonly<Record<Ground, number>> = { 'name-and-unit': 3, name: 2, unit: 1, place: 0 };
/** Fewer may rise by chance. */
const LINES_FOR_A_COUNTER = 3;
/** Room for a number behind an extra's name; a key may have 32 characters. */
const EXTRA_CHARS = 28;

const rises = (values: readonly number[]): boolean =>
  values.length >= LINES_FOR_A_COUNTER &&
  values.every((value, i) => Number.isInteger(value) && (i === 0 || value > (values[i - 1] as number)));
const fits = (key: string, values: readonly number[]): boolean =>
  values.length > 0 && values.every((value) => !isImplausible(key, value));
const shown = (label: string): string => (label === '' ? 'without a name' : `named "${label}"`);

/** Keys that numbers without names are given in turn. */
const BY_PLACE = [
  ['t', 'no name: the first such number is mostly the temperature'],
  ['rh', 'no name: behind the temperature mostly comes the humidity'],
] as const;

/** A key for each slot, in order; what is not sure is added to `doubts`. */
export function settleKeys(slots: readonly Slot[], doubts: string[]): readonly Settled[] {
  const settled = new Array<Settled | null>(slots.length).fill(null);
  const owners = new Map<string, Slot>();
  const give = (i: number, key: string, why: string, ground: Ground): void => {
    settled[i] = { key, why, ground };
    if (key !== '-') owners.set(key, slots[i] as Slot);
  };
  const giveExtra = (i: number, name: string, why: string, ground: Ground): void => {
    const key = name.slice(0, EXTRA_CHARS);
    give(i, owners.has(key) ? `${key}_${i + 1}` : key, why, ground);
  };
  const open = (): number[] => [...slots.keys()].filter((i) => settled[i] === null);

  const bySureness = [...slots.keys()].sort(
    (a, b) => RANK[(slots[b] as Slot).quantity.ground] - RANK[(slots[a] as Slot).quantity.ground] || a - b,
  );
  for (const i of bySureness) {
    const slot = slots[i] as Slot;
    const { key, why, ground, doubt } = slot.quantity;
    if (doubt !== null && !doubts.includes(doubt)) doubts.push(doubt);
    if (key === null) continue;
    const owner = owners.get(key);
    // The same name in a line of another shape is the same quantity.
    if (!owner || (owner.shape !== slot.shape && owner.label === slot.label)) give(i, key, why, ground);
    else if (key.startsWith('x_')) giveExtra(i, key, why, ground);
    else {
      doubts.push(
        `Several numbers may be ${key}: the one ${shown(owner.label)} was taken, the one ${shown(slot.label)} is kept as an extra.`,
      );
      giveExtra(i, extraKey(slot.label || key, i + 1), `${why}; ${key} is another`, ground);
    }
  }
  for (const i of open())
    if (rises((slots[i] as Slot).values))
      give(i, '-', 'rises from line to line: a counter or a time', 'place');
  for (const i of open())
    if (!owners.has('p') && isPressure((slots[i] as Slot).values))
      give(i, 'p', 'no name, but lies where air pressure in hPa lies', 'place');
  const guessed: string[] = [];
  for (const [key, why] of BY_PLACE) {
    const next = open().find((i) => fits(key, (slots[i] as Slot).values));
    if (owners.has(key) || next === undefined) continue;
    give(next, key, why, 'place');
    guessed.push(key);
  }
  if (guessed.length === 2)
    doubts.push('Nothing in the lines says which number is the temperature and which the humidity.');
  else if (guessed.length === 1) doubts.push(`Nothing in the lines says that this number is ${guessed[0]}.`);
  for (const i of open())
    giveExtra(i, extraKey((slots[i] as Slot).label, i + 1), 'unknown: kept and charted, not used', 'place');
  return settled as Settled[];
}

/** Only air pressure has numbers of this size. */
const isPressure = (values: readonly number[]): boolean =>
  values.length > 0 && values.every((value) => value > 850 && value < 1100);
