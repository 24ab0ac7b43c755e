import { expect, test } from 'vitest';
import { inShort, narrowedPercent, sayLearned } from '../../web/why-words.ts';
import { dryingOf, quantiles } from '../browser/invented-spool.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const row = (unknown: string) => dryingOf().posterior.find((one) => one.unknown === unknown)!;

test('what was learned stands beside what it was', () => {
  expect(plain(sayLearned(row('vent')))).toBe('2.6 L/min (1.7–3.9), was 2.0 (0.53–7.5)');
  expect(plain(sayLearned(row('rh-offset')))).toBe('0.60 %RH (0.30–0.90), was 0.00 (−2.5 to 2.5)');
});

test('what the readings are silent about says so', () => {
  expect(plain(sayLearned(row('isotherm')))).toBe('× 1.0 (0.73–1.4), unchanged: the data are silent');
});

test('a factor’s band narrows on the scale of factors, an offset’s on its own', () => {
  // ln(3.9/1.7)/ln(7.5/0.53) = 0.8303/2.6498 = 0.3133; 0.6/5 = 0.12
  expect(narrowedPercent(row('vent'))).toBe(69);
  expect(narrowedPercent(row('rh-offset'))).toBe(88);
  expect(narrowedPercent({ ...row('vent'), now: quantiles(0.53, 2, 7.5) })).toBe(0);
});

test('in short: a note first, else what the readings are silent about', () => {
  expect(inShort(dryingOf())).toBe('The readings say nothing yet of: water held against the table.');
  expect(inShort(dryingOf({ notes: ['Dry on average; inner turns not yet sure.'] }))).toBe(
    'Dry on average; inner turns not yet sure.',
  );
  expect(inShort(dryingOf({ posterior: [] }))).toBe('It was stored at 30 ± 9 %RH (23 °C).');
});
