/**
 * SenML JSON (RFC 8428) on one line: `bn` + `n` is `<station>/<key>`, units are taken over or refused by name.
 * Its times are ignored: a line is as old as its arrival.
 */
import { KEY_PATTERN, NAME_PATTERN, type Refusal, type RefusalReason } from '../../firmware-protocol/line.ts';

export type SenmlRead =
  | { readonly ok: true; readonly station: string; readonly values: Readonly<Record<string, number>> }
  | Refusal;

const refuse = (reason: RefusalReason, detail: string): Refusal => ({ ok: false, reason, detail });

/** Unit of RFC 8428 / RFC 8798 to the factor into the key's own unit. Pressure becomes hPa, mass grams. */
const UNITS: Readonly<Record<string, number>> = { Cel: 1, '%RH': 1, Pa: 0.01, hPa: 1, kg: 1000, g: 1 };
/** Keys of the registry and the unit each must come in; extras may come in any. */
const UNITS_OF_KEY: Readonly<Record<string, readonly string[]>> = {
  t: ['Cel'],
  tm: ['Cel'],
  ts: ['Cel'],
  tb: ['Cel'],
  rh: ['%RH'],
  m: ['kg', 'g'],
  p: ['Pa', 'hPa'],
};

export const looksLikeSenml = (text: string): boolean => text.startsWith('[') || text.startsWith('{');

export function readSenml(text: string): SenmlRead {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    return refuse('malformed', 'The line begins as JSON but is not.');
  }
  const records = Array.isArray(parsed) ? parsed : [parsed];
  let baseName = '';
  let baseUnit: string | undefined;
  let baseValue = 0;
  let station: string | null = null;
  const values: Record<string, number> = {};
  for (const raw of records) {
    if (typeof raw !== 'object' || raw === null) return refuse('malformed', 'A SenML record is an object.');
    const record = raw as Record<string, unknown>;
    if (typeof record['bn'] === 'string') baseName = record['bn'];
    if (typeof record['bu'] === 'string') baseUnit = record['bu'];
    if (typeof record['bv'] === 'number') baseValue = record['bv'];
    if (record['v'] === undefined) continue;
    const name = `${baseName}${typeof record['n'] === 'string' ? record['n'] : ''}`;
    const slash = name.lastIndexOf('/');
    const [place, key] = [name.slice(0, Math.max(0, slash)), name.slice(slash + 1)];
    if (!NAME_PATTERN.test(place) || !KEY_PATTERN.test(key))
      return refuse('malformed', `"${name.slice(0, 40)}" is not station/key.`);
    if (station !== null && station !== place)
      return refuse(
        'malformed',
        `One line names two stations, "${station}" and "${place}"; send one line for each.`,
      );
    station = place;
    if (Object.hasOwn(values, key)) return refuse('duplicate-key', `Key "${key}" stands twice.`);
    const value = record['v'];
    if (typeof value !== 'number' || !Number.isFinite(value))
      return refuse('bad-value', `Key "${key}" has no number.`);
    const unit = typeof record['u'] === 'string' ? record['u'] : baseUnit;
    const allowed = UNITS_OF_KEY[key];
    if (allowed && (unit === undefined || !allowed.includes(unit)))
      return refuse('bad-value', `Key "${key}" comes in ${unit ?? 'no unit'}; give ${allowed.join(' or ')}.`);
    values[key] = (value + baseValue) * (allowed ? (UNITS[unit as string] as number) : 1);
  }
  return station === null ? refuse('no-value', 'The line holds no value.') : { ok: true, station, values };
}
