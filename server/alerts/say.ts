/** How figures, times and places are said in a notice. */
import type { NoticeNumber, QuantileBand, Role } from '../records.ts';

export interface Say {
  /** "14:20", with the weekday where it is another day than now. */
  clock(atMs: number): string;
  /** "the drying box", with its name where several share a role. */
  place(station: string): string;
  readonly nowMs: number;
}

const PLACES: Readonly<Record<Role, string>> = {
  drybox: 'the drying box',
  storage: 'the storage box',
  chamber: 'the chamber',
  room: 'the room',
  electronics: 'the electronics bay',
};

const formatterOf = (zone: string): Intl.DateTimeFormat =>
  new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
  });

/** Offsets change on whole quarters of an hour; asking the zone tables each second would be slow. */
const QUARTER_MS = 15 * 60_000;
/** A week of quarters in one zone. */
const MOST_OFFSETS = 700;
const offsets = new Map<string, number>();

function offsetMs(atMs: number, zone: string): number {
  const quarterMs = Math.floor(atMs / QUARTER_MS) * QUARTER_MS;
  const key = `${zone} ${quarterMs}`;
  const found = offsets.get(key);
  if (found !== undefined) return found;
  if (offsets.size >= MOST_OFFSETS) offsets.clear();
  const parts = new Map(
    formatterOf(zone)
      .formatToParts(quarterMs)
      .map(({ type, value }) => [type, Number(value)]),
  );
  const part = (name: 'year' | 'month' | 'day' | 'hour' | 'minute' | 'second'): number =>
    parts.get(name) ?? 0;
  const shown = Date.UTC(
    part('year'),
    part('month') - 1,
    part('day'),
    part('hour'),
    part('minute'),
    part('second'),
  );
  offsets.set(key, shown - quarterMs);
  return shown - quarterMs;
}

const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'] as const;

/** A wall time in a named zone, taken apart. `day` counts days since the epoch there. */
export function inZone(
  atMs: number,
  zone: string,
): { readonly weekday: string; readonly day: number; readonly hour: number; readonly minute: number } {
  const shown = atMs + offsetMs(atMs, zone);
  const date = new Date(shown);
  return {
    weekday: WEEKDAYS[date.getUTCDay()] ?? '',
    day: Math.floor(shown / 86_400_000),
    hour: date.getUTCHours(),
    minute: date.getUTCMinutes(),
  };
}

export function isZone(zone: string): boolean {
  try {
    formatterOf(zone);
    return true;
  } catch {
    return false;
  }
}

const two = (n: number): string => String(n).padStart(2, '0');

export function createSay(
  nowMs: number,
  zone: string,
  stations: readonly { readonly id: string; readonly role: Role }[],
): Say {
  const roles = new Map(stations.map(({ id, role }) => [id, role]));
  const shared = new Map<Role, number>();
  for (const role of roles.values()) shared.set(role, (shared.get(role) ?? 0) + 1);
  return {
    nowMs,
    clock(atMs) {
      const then = inZone(atMs, zone);
      const text = `${two(then.hour)}:${two(then.minute)}`;
      return then.day === inZone(nowMs, zone).day ? text : `${then.weekday} ${text}`;
    },
    place(id) {
      const role = roles.get(id);
      if (!role) return `“${id}”`;
      return shared.get(role) === 1 ? PLACES[role] : `${PLACES[role]} “${id}”`;
    },
  };
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** "the box, the room and the chamber"; a long list is cut and counted. */
export function listed(parts: readonly string[], most = 6): string {
  const shown =
    parts.length > most ? [...parts.slice(0, most - 1), `${parts.length - most + 1} more`] : parts;
  if (shown.length < 2) return shown.join('');
  return `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`;
}

/** Two decimals of wt % under 1, one above. */
export const percent = (value: number): string => value.toFixed(value < 1 ? 2 : 1);
export const celsius = (value: number): string => value.toFixed(1);

/** "0.34 % (0.28–0.41)" */
export const moistureText = ({ p05, p50, p95 }: QuantileBand): string =>
  `${percent(p50)} % (${percent(p05)}–${percent(p95)})`;

export const measured = (label: string, value: number, unit: string): NoticeNumber => ({
  label,
  value,
  low: null,
  high: null,
  unit,
});
export const estimated = (label: string, { p05, p50, p95 }: QuantileBand, unit: string): NoticeNumber => ({
  label,
  value: p50,
  low: p05,
  high: p95,
  unit,
});

/** How long, in the unit a person would use. */
export function duration(ms: number): string {
  const minutes = Math.round(ms / 60_000);
  if (minutes < 1) return 'less than a minute';
  if (minutes < 120) return `${minutes} minute${minutes === 1 ? '' : 's'}`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} hours` : `${Math.round(hours / 24)} days`;
}

export const CAUTION = {
  heat: 'Parts inside may be hot enough to burn. Let them cool, and keep to the makers’ instructions.',
  fumes:
    'Overheated plastic gives off fumes: air the room before looking closely, and keep to the makers’ instructions.',
  mains:
    'Switch off and unplug before touching heater or wiring; work on mains is for a licensed person. Local codes and the makers’ instructions stand above this advice.',
} as const;
