/**
 * What must not get too hot: ceilings of things that may stand in a heated box or chamber, °C.
 * Grade judgement throughout: where a part is known to its user, the user's own rating wins. The ratings of sensor
 * parts are of the makers' data sheets' recommended range and come with the part's name, not from here.
 */

export interface Thing {
  readonly name: string;
  readonly ceilingC: number;
  readonly reason: string;
  readonly grade: 'judgement';
}

const thing = (name: string, ceilingC: number, reason: string): Thing => ({
  name,
  ceilingC,
  reason,
  grade: 'judgement',
});

/** Distance to the ceiling at which it counts as near, °C. */
export const CEILING_MARGIN_C = 5;

export const THINGS: Readonly<Record<string, Thing>> = {
  pla: thing('PLA part', 50, 'softens at its glass transition, 55–62 °C'),
  petg: thing('PETG part', 65, 'softens from about 70 °C'),
  abs: thing('ABS part', 85, 'heat distortion from about 85 °C under load'),
  asa: thing('ASA part', 85, 'as ABS'),
  pc: thing('polycarbonate part', 115, 'heat distortion from about 125 °C'),
  pa: thing('polyamide part', 80, 'yellows and creeps'),
  pp: thing('polypropylene part', 80, 'softens from about 90 °C'),
  tpu: thing('TPU part', 60, 'soft grades block and creep'),
  pmma: thing('acrylic panel', 75, 'sheet sags from about 80–95 °C'),
  'cardboard-reel': thing('cardboard reel', 70, 'glue and shape'),
  'unknown-reel': thing('reel of unknown kind', 60, 'polystyrene reels creep from about 70 °C'),
  electronics: thing('electronics', 45, 'power supplies and boards are rated for 40–50 °C air'),
};
