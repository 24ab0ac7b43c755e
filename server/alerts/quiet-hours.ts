/** Quiet hours: a stretch of the day in a named zone, in which news and low alarms wait. */
import { inZone, isZone } from './say.ts';

export interface QuietHours {
  /** IANA name: "Europe/Berlin". */
  readonly zone: string;
  /** "22:00", as a clock there shows it. */
  readonly from: string;
  readonly to: string;
}

const CLOCK = /^([01]\d|2[0-3]):([0-5]\d)$/;

const minutesOf = (clock: string): number | null => {
  const found = CLOCK.exec(clock);
  return found ? 60 * Number(found[1]) + Number(found[2]) : null;
};

/** Null: all well; otherwise what is wrong, for a person. */
export function checkQuietHours({ zone, from, to }: QuietHours): string | null {
  if (!isZone(zone)) return `"${zone}" is no time zone; give one as "Europe/Berlin" or "UTC".`;
  const fromMinutes = minutesOf(from);
  const toMinutes = minutesOf(to);
  if (fromMinutes === null || toMinutes === null)
    return 'Quiet hours run from and to a time such as "22:00".';
  if (fromMinutes === toMinutes) return 'Quiet hours that begin and end at the same time are none.';
  return null;
}

/** By the clock of the zone, so that they move with daylight saving; from is inside, to is not. */
export function isQuietNow(hours: QuietHours | null, nowMs: number): boolean {
  if (hours === null) return false;
  const from = minutesOf(hours.from) ?? 0;
  const to = minutesOf(hours.to) ?? 0;
  const { hour, minute } = inZone(nowMs, hours.zone);
  const now = 60 * hour + minute;
  return from < to ? now >= from && now < to : now >= from || now < to;
}
