/** What a calibration leaves in a `[[station]]`: constants that turn what its sensors say into what they mean. */
import type { CorrectionConfig } from './bench.ts';
import { number, type Reader, type Table } from './fields.ts';

export const CALIBRATION_KEYS = [
  'calibrated',
  'rh_gain',
  'rh_offset_percent',
  'temperature_offset_c',
  'scale_zero_g',
  'scale_zero_g_per_c',
  'scale_span',
  'scale_span_per_c',
  'scale_reference_c',
];
const SCALE_KEYS = CALIBRATION_KEYS.filter((key) => key.startsWith('scale_'));

/** A date, as TOML has it or in quotes. */
const day: Reader<string> = (raw, key, note) => {
  const text = raw instanceof Date ? raw.toISOString().slice(0, 10) : raw;
  if (typeof text === 'string' && /^\d{4}-\d\d-\d\d$/.test(text) && !Number.isNaN(Date.parse(text)))
    return text;
  note(key, `${key} = ${JSON.stringify(raw)}: give the day of the calibration, like 2026-03-01.`);
  return undefined;
};

/** Null where the station's file has none of the constants. */
export function readCorrection(table: Table): CorrectionConfig | null {
  if (!CALIBRATION_KEYS.some((key) => table.has(key))) return null;
  const calibratedOn = table.may('calibrated', day, null);
  const others = CALIBRATION_KEYS.filter((key) => key !== 'calibrated' && table.has(key));
  if (!table.has('calibrated'))
    table.note(
      others[0] ?? null,
      `${others.join(', ')} without calibrated = (the day it was done); give it too.`,
    );
  const scale = SCALE_KEYS.some((key) => table.has(key))
    ? {
        zeroG: table.may('scale_zero_g', number(-50_000, 50_000, 'g'), 0),
        zeroGPerK: table.may('scale_zero_g_per_c', number(-1000, 1000, 'g/°C'), 0),
        span: table.may('scale_span', number(0.01, 100, 'g said for each g'), 1),
        spanPerK: table.may('scale_span_per_c', number(-0.05, 0.05, 'per °C'), 0),
        referenceC: table.may('scale_reference_c', number(-20, 80, '°C'), 25),
      }
    : null;
  return {
    calibratedOn,
    rhGain: table.may('rh_gain', number(0.5, 2, ''), 1),
    rhOffsetPercent: table.may('rh_offset_percent', number(-20, 20, '%RH'), 0),
    temperatureOffsetC: table.may('temperature_offset_c', number(-10, 10, '°C'), 0),
    scale,
  };
}
