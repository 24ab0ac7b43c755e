/**
 * What a number in somebody's line probably is, from its name, its unit and its size. The words are those that sketches
 * use: common practice, no source.
 */
import { isImplausible } from '../../../firmware-protocol/keys.ts';
import { type Unit, unitInLabel } from './units.ts';

/** How a key was found: a name beside a unit is surer than either alone; `place` is its place in the line alone. */
export type Ground = 'name-and-unit' | 'name' | 'unit' | 'place';

export interface Quantity {
  /** A key of LD1, an extra (`x_…`), or "-" for what is left out. Null: neither name nor unit was given. */
  readonly key: string | null;
  readonly ground: Ground;
  readonly why: string;
  /** A sentence where something is amiss; null else. */
  readonly doubt: string | null;
}

const OTHER = 'x';
const TIME = '-';
/** The first that has a word of the name counts: a bed's temperature is the bed's, a dew point's is no air's. */
const WORDS: readonly (readonly [key: string, words: RegExp])[] = [
  [
    OTHER,
    /^(dew|dewpoint|frost|heat|index|hi|feels|wet|bulb|absolute|abs|vpd|target|set|setpoint|sp|goal|want|pwm|duty|fan|heater|power|battery|batt?|vbat|volts?|voltage|current|amps?|soil|light|lux|voc|tvoc|eco|co|ppm|gas|iaq|altitude|alt|rssi|raw|adc|err|errors?)$/,
  ],
  ['ts', /^(surface|spool|ts)$/],
  ['tb', /^(bed|tb)$/],
  ['tm', /^(cell|tm)$/],
  ['rh', /^(rh|hum|humi|humid|humidity|relhum|h)$/],
  ['t', /^(t|tc|tmp|temp|temps|temperature|tempc|celsius|air|ambient)$/],
  ['p', /^(p|press|pressure|baro|barometer)$/],
  ['m', /^(m|w|mass|weight|scale|load|grams?)$/],
  [
    TIME,
    /^(millis|ms|time|uptime|secs?|seconds?|timestamp|epoch|seq|sequence|count|counter|cnt|nr|no|id|sample|loop|packet|ticks?)$/,
  ],
];
const FILLERS = /^(the|is|and|of|at|now|in|a|it|its|value|reading|deg|degrees|c)$/;
/** An extra's name is read on a screen. */
const EXTRA_WORDS = 3;
const EXTRA_CHARS = 24;

const partsOf = (label: string, apart: RegExp): string[] =>
  label
    .replaceAll(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .split(apart)
    .filter((word) => word !== '');
const wordsOf = (label: string): string[] => partsOf(label, /[^a-z]+/);

/** A key for something that is kept and charted but not used. `place` counts from 1. */
export function extraKey(label: string, place: number): string {
  const kept = partsOf(label, /[^a-z0-9]+/).filter((word) => !FILLERS.test(word));
  return `x_${kept.slice(-EXTRA_WORDS).join('_').slice(0, EXTRA_CHARS) || `c${place}`}`;
}

/** Temperatures of other things than the air come in °C too. */
const agrees = (key: string, unit: Unit): boolean =>
  unit.of === key || (unit.of === 't' && (key === 'ts' || key === 'tb' || key === 'tm'));

const UNREAD: Partial<Record<Unit['of'], string>> = { fahrenheit: '°C', pascal: 'hPa', kilograms: 'g' };

/** `values`: what stood there, line by line; may be empty where a sensor never gave a number. */
export function quantityOf(
  label: string,
  unitBehind: Unit | null,
  values: readonly number[],
  place: number,
): Quantity {
  const unit = unitBehind ?? unitInLabel(label);
  const words = wordsOf(label);
  const named = WORDS.find(([, known]) => words.some((word) => known.test(word)))?.[0] ?? null;
  const key = named ?? unit?.of ?? null;
  if (key === null) return { key: null, ground: 'place', why: '', doubt: null };
  const called = named === null ? 'no name' : `named "${label}"`;
  const why = unit === null ? called : `${called}, in ${unit.name}`;
  const extra = (reason: string, doubt: string | null): Quantity => ({
    key: extraKey(unit?.of === 'fahrenheit' ? `${label} f` : label, place),
    ground: 'name',
    why: `${why}: ${reason}`,
    doubt,
  });
  const wanted = unit && UNREAD[unit.of];
  if (named !== OTHER && unit && wanted)
    return extra(
      'kept and charted, not used',
      `A value comes in ${unit.name}; lowdew reads ${wanted}. Let the sketch print ${wanted}.`,
    );
  if (key === TIME) return { key: TIME, ground: 'name', why: `${why}: a time or a counter`, doubt: null };
  if (named === OTHER || key === 'other' || wanted) return extra('kept and charted, not used', null);
  const median = [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];
  if (median !== undefined && isImplausible(key, median))
    return extra(
      'kept and charted, not used',
      `${median} (${called}) cannot be ${key}. Is it a raw count, or in another unit?`,
    );
  const ground: Ground = named === null ? 'unit' : unit && agrees(key, unit) ? 'name-and-unit' : 'name';
  return { key, ground, why, doubt: doubtOf(key, ground, values) };
}

function doubtOf(key: string, ground: Ground, values: readonly number[]): string | null {
  if (key !== 'rh') return null;
  if (values.length > 0 && values.every((value) => value >= 0 && value <= 1))
    return 'The humidity lies between 0 and 1: if it is a share, let the sketch print per cent.';
  return ground === 'unit' ? 'A value in % without a name is taken for relative humidity.' : null;
}
