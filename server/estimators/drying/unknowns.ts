/**
 * The unknowns by name. The list is fixed, so that a saved state, the draws and the page speak of the same places; a run
 * uses those that its data can touch.
 */
export const UNKNOWNS = [
  'diffusivity',
  'isotherm',
  'start',
  'vent',
  'volume',
  'pack',
  'film',
  'heat',
  'rh-offset',
  'rh-gain',
  'rh-heat',
  'supply',
  'dry-mass',
  'curvature',
  'inner-outer',
  'warm-start',
  'reel-paper',
  'reel-lag',
  'reel-start',
  'tare',
  'cell-temperature',
  'creep-fast',
  'creep-slow',
  'weigh-tare',
] as const;
export type Unknown = (typeof UNKNOWNS)[number];
export const placeOf = Object.fromEntries(UNKNOWNS.map((name, place) => [name, place])) as Readonly<
  Record<Unknown, number>
>;
/**
 * Enter only when predictions are compared with readings, never the simulation itself. The humidity sensor's errors are not
 * among them: the box's first air, and that after a lid, is taken from its reading.
 */
export const OBSERVATION_ONLY: readonly Unknown[] = [
  'tare',
  'cell-temperature',
  'creep-fast',
  'creep-slow',
  'weigh-tare',
];
