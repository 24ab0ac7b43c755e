/** A station's newest air as others may use it: heard lately, plausible and without a fault; null otherwise. */
import type { Station } from '../intake/station.ts';
import type { AirHeard } from './job-desk.ts';

/** Air that a ceiling is judged by, °C. */
export const airNow = (station: Station | undefined): number | null => airHeard(station)?.airC ?? null;

export function airHeard(station: Station | undefined): AirHeard | null {
  const view = station?.view();
  if (!view || view.heardMs === null) return null;
  const value = (key: string): number | null =>
    view.quiet || view.flagged.includes(key) || view.faults[key] !== undefined
      ? null
      : (view.values[key] ?? null);
  return { airC: value('t'), rhPercent: value('rh'), bedC: value('tb'), quiet: view.quiet };
}
