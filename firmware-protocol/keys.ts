/**
 * The registry of plain LD1 keys: what each means, its unit, and the range in which a sensor can plausibly mean it.
 * Outside the range a value is flagged (kept, shown flagged, not used), never clamped and never dropped.
 */
export interface KeyEntry {
  readonly key: string;
  readonly meaning: string;
  readonly unit: string;
  /** Inclusive; physical plausibility of the sensors in use, with room for their offsets. */
  readonly plausible: readonly [low: number, high: number];
}

export const KEYS: readonly KeyEntry[] = [
  { key: 't', meaning: 'air temperature', unit: '°C', plausible: [-45, 150] },
  // Unclipped: a sensor with a negative offset says −1.2 in very dry air. Sensors' own maths reaches −6…119.
  {
    key: 'rh',
    meaning: 'relative humidity of the air, over liquid water',
    unit: '%RH',
    plausible: [-6, 106],
  },
  { key: 'm', meaning: 'mass on the scale', unit: 'g', plausible: [-10_000, 50_000] },
  { key: 'tm', meaning: 'temperature at the load cell', unit: '°C', plausible: [-45, 150] },
  {
    key: 'ts',
    meaning: 'surface temperature: the spool in a drybox, a part in a chamber',
    unit: '°C',
    plausible: [-45, 200],
  },
  { key: 'tb', meaning: 'bed temperature', unit: '°C', plausible: [-45, 250] },
  { key: 'p', meaning: 'air pressure', unit: 'hPa', plausible: [300, 1100] },
];

const BY_KEY: ReadonlyMap<string, KeyEntry> = new Map(KEYS.map((entry) => [entry.key, entry]));

export const keyEntry = (key: string): KeyEntry | undefined => BY_KEY.get(key);

/** Extras carry the prefix `x_`: kept and charted, not used. */
export const isExtra = (key: string): boolean => key.startsWith('x_');

/** Known and outside its plausible range. Extras and unknown keys have no range. */
export function isImplausible(key: string, value: number): boolean {
  const entry = BY_KEY.get(key);
  return entry !== undefined && !(value >= entry.plausible[0] && value <= entry.plausible[1]);
}
