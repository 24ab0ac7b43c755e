/**
 * What is believed before the first reading, and what an unknown's value makes of spool, box and sensors.
 *
 * Every unknown is a z with prior N(0, 1) unless a former run has taught better (`learned`). The list is fixed so that
 * a saved state, the draws and the page speak of the same places; a run uses those of them that its data can touch.
 */

import type { AirSupply } from '../../physics/floor.ts';
import type { Material } from '../../physics/materials.ts';
import type { Member } from './model.ts';
import { SHELLS } from './model.ts';
import { normalCdf } from './normal.ts';
import { placeOf, UNKNOWNS, type Unknown } from './unknowns.ts';

/** Where the other readers of these priors look for the list. */
export { UNKNOWNS } from './unknowns.ts';

export type Stored = 'sealed-new' | 'desiccant' | 'room' | 'damp' | 'unknown';

/**
 * Where the spool lay, as activity at 23 °C: 5 % and 95 % points of a logit-normal. Soft ends, because a room is now and
 * then drier than 20 %RH and a sealed bag is not always what it says: a new spool is not assumed dry.
 */
export const STORED_ACTIVITY: Readonly<Record<Stored, readonly [number, number]>> = {
  'sealed-new': [0.02, 0.5],
  desiccant: [0.05, 0.25],
  room: [0.2, 0.65],
  damp: [0.5, 0.9],
  unknown: [0.05, 0.9],
};
/** Half width of a stated storage humidity, as activity: hygrometers in cupboards are good to that. */
const STATED_HUMIDITY_HALF_WIDTH = 0.09;

export interface DryingSetup {
  readonly station: string;
  readonly spool: string;
  readonly material: Material;
  readonly limitWtPercent: number;
  readonly netMassG: number;
  readonly diameterMm: number;
  readonly reel: 'plastic' | 'cardboard' | 'unknown';
  readonly reelMassG: number | null;
  readonly stored: Stored;
  readonly storedRhPercent: number | null;
  /** `chamber` stations are larger and blow more air through. */
  readonly role: 'drybox' | 'storage' | 'chamber';
  readonly airVolumeL: number | null;
  readonly airSupply: AirSupply | null;
  /** Other spools breathing the same air: what the humidity says can't be attributed. */
  readonly companions: number;
  readonly rhTolerancePercent: number;
  readonly temperatureToleranceC: number;
}

/** Start activity known from an earlier run or from holding: per shell, with a common spread of its logarithm. */
export interface CarriedStart {
  readonly activity: readonly number[];
  readonly sdLn: number;
}

export interface Priors {
  readonly setup: DryingSetup;
  readonly supply: AirSupply;
  /** Seen warm at the first reading: how long it has been warm is unknown. */
  readonly warmStart: boolean;
  readonly carried: CarriedStart | null;
  readonly roomKnown: boolean;
  /** Mean and sd of each unknown's z before this run: 0 and 1 unless an earlier run has narrowed them. */
  readonly learnedMean: readonly number[];
  readonly learnedSd: readonly number[];
}

/** Spreads, sd of ln unless said. Judgement, measured by the study; each reason beside it. */
export const SPREAD = {
  vent: 0.7, // 2 L/min ×/÷ 2: from a tight box (0.6) to one with a fan slit (6)
  ventClosed: 1.0,
  ventChamber: 1.1, // 15 L/min ×/÷ 3
  volume: 0.35,
  volumeStated: 0.1,
  volumeChamber: 0.7, // 60 L ×/÷ 2
  pack: 0.5,
  film: 0.45,
  heat: 0.35,
  rhGain: 0.023, // with the temperature tolerance folded in
  rhHeatMean: -0.5, // %RH after many hot hours: makers own to −1…−2 after days, some sensors show none
  rhHeat: 0.35,
  dryMass: 0.03,
  innerOuter: 0.35,
  reelLag: 0.6,
  reelStart: 0.12, // activity
  tareG: 100, // only changes of mass inform
  cellGPerC: 0.03,
  creepG: 0.4,
  roomUnknown: 0.33, // a room of 20–26 °C and 25–65 %RH
  supplyPlace: 0.03, // the room's sensor does not sit at the box's inlet
} as const;

/**
 * Tables are measured wetting or between the branches; a drying polymer holds 10–20 % more at the same humidity
 * (physics of glassy polymers, judgement): half of that on the scale.
 */
const DRYING_BRANCH = 1.075;
/**
 * Isotherms are fitted between 20 and 90 %RH, and the first water is bound most tightly: below 10 %RH the true slope is
 * 0.8–1.5 of the table's (for nylon J. Appl. Polym. Sci. 42 (1991) 2417 tends that way). As a turn of B about 50 %RH:
 */
const CURVATURE_MEAN = -0.25;
const CURVATURE_LEAST = 0.4;
const curvatureSd = (priors: Priors): number =>
  Math.max(priors.setup.material.curvatureSigma, CURVATURE_LEAST);

/**
 * Sd of ln D at the drying temperature. The table's sigma is the scatter between sources and methods; of a filament named
 * by its family about the table's centre three quarters are taken (the whole made half the nylons never called dry),
 * and 0.45 at the least (PC's 0.35 left one run in six outside its band).
 */
const DIFFUSIVITY_SHARE = 0.65;
const DIFFUSIVITY_LEAST = 0.45;
export const diffusivitySd = (material: Material): number =>
  Math.max(DIFFUSIVITY_SHARE * material.diffusivitySigmaLn, DIFFUSIVITY_LEAST);

/** Air assumed where no room sensor tells: 23 °C, 45 %RH, as reduced vapour density g/m³. */
export const ASSUMED_ROOM_G_PER_M3 = 9.25;

/** Paper of a cardboard reel whose mass is not stated, g, and of the paper half of an unknown one. */
const CARDBOARD_G = 200;
const REEL_PAPER_SPREAD = 0.25;
const REEL_LAG_S = 4200;

export interface MemberStart {
  readonly activity: Float64Array;
  reelActivity: number;
  /** Share of the way from room to box temperature at which the pack is first seen; 0 when the start was cold. */
  warmth: number;
  supplyScale: number;
  /** Exponent share between the driest supply and the room's, for a desiccant; NaN otherwise. */
  supplyShare: number;
  rhOffset: number;
  rhGain: number;
  /** Offset that many hot hours add, %RH. */
  rhHeat: number;
}

export const createMemberStart = (): MemberStart => ({
  activity: new Float64Array(SHELLS),
  reelActivity: 0,
  warmth: 0,
  supplyScale: 1,
  supplyShare: Number.NaN,
  rhOffset: 0,
  rhGain: 1,
  rhHeat: 0,
});

export const createMember = (): Member => ({
  diffusivityScale: 1,
  slopeWtPercent: 0,
  curvature: 0,
  ventM3PerS: 0,
  volumeM3: 0,
  packScale: 1,
  filmScale: 1,
  heatScale: 1,
  dryMassG: 0,
  paperG: 0,
  paperLagS: REEL_LAG_S,
});

const logit = (p: number): number => Math.log(p / (1 - p));
const logistic = (x: number): number => 1 / (1 + Math.exp(-x));
const Z98 = 2.0537489106318225;

/** Sd of the relative room humidity error by the sensor's tolerance at ±1.2 sd, in %RH: 1.5 for a tolerance of 1.8. */
const sdOfTolerance = (tolerancePercent: number): number => tolerancePercent / 1.2;

/** Which unknowns this run has: those its data and surroundings can touch. */
export function activeUnknowns(priors: Priors, hasMass: boolean, hasWeighIns: boolean): Unknown[] {
  const without = new Set<Unknown>();
  if (!priors.warmStart) without.add('warm-start');
  if (priors.setup.reel === 'plastic')
    for (const name of ['reel-paper', 'reel-lag', 'reel-start'] as const) without.add(name);
  if (!hasMass)
    for (const name of ['tare', 'cell-temperature', 'creep-fast', 'creep-slow'] as const) without.add(name);
  if (!hasWeighIns) without.add('weigh-tare');
  return UNKNOWNS.filter((name) => !without.has(name));
}

export interface Box {
  readonly ventLPerMin: number;
  readonly ventSd: number;
  readonly volumeL: number;
  readonly volumeSd: number;
}

export function boxPrior(priors: Priors): Box {
  const { role, airVolumeL } = priors.setup;
  const chamber = role === 'chamber';
  const closed = priors.supply === 'closed';
  return {
    // A closed box still breathes a little through its seams.
    ventLPerMin: closed ? 0.05 : chamber ? 15 : 2,
    ventSd: closed ? SPREAD.ventClosed : chamber ? SPREAD.ventChamber : SPREAD.vent,
    volumeL: airVolumeL ?? (chamber ? 60 : 12),
    volumeSd: airVolumeL !== null ? SPREAD.volumeStated : chamber ? SPREAD.volumeChamber : SPREAD.volume,
  };
}

/** Activity of the store at 23 °C for a z, and the spread's own centre. */
export function startActivity(priors: Priors, z: number): number {
  const { stored, storedRhPercent } = priors.setup;
  const stated = storedRhPercent === null ? null : storedRhPercent / 100;
  const [low, high] =
    stated === null
      ? STORED_ACTIVITY[stored]
      : [
          Math.max(0.01, stated - STATED_HUMIDITY_HALF_WIDTH),
          Math.min(0.98, stated + STATED_HUMIDITY_HALF_WIDTH),
        ];
  let mean = 0.5 * (logit(low) + logit(high));
  let sd = (logit(high) - logit(low)) / (2 * Z98);
  // Already warm when first seen: anything between just put in and nearly done.
  if (priors.warmStart) {
    mean -= 1;
    sd = Math.hypot(sd, 1.2);
  }
  return logistic(mean + sd * z);
}

/** Fills member and start from the unknowns `z` (full list; places not active hold 0). `roomRhPercent` scales the room sensor's error. */
export function applyUnknowns(
  priors: Priors,
  z: Float64Array,
  roomRhPercent: number,
  member: Member,
  start: MemberStart,
): void {
  const { setup } = priors;
  const { material } = setup;
  const of = (name: Unknown): number => {
    const place = placeOf[name];
    return priors.learnedMean[place]! + priors.learnedSd[place]! * z[place]!;
  };
  const box = boxPrior(priors);
  member.diffusivityScale = Math.exp(diffusivitySd(material) * of('diffusivity'));
  // A = s·w50·(1 − B/2)/0.5: scale and curvature turn about the point at 50 %RH.
  const { slopeWtPercent, curvature } = material.reduced;
  const B = Math.min(0.9, curvature + CURVATURE_MEAN + curvatureSd(priors) * of('curvature'));
  member.curvature = B;
  member.slopeWtPercent =
    (DRYING_BRANCH *
      Math.exp(material.isothermScaleSigmaLn * of('isotherm')) *
      slopeWtPercent *
      (1 - 0.5 * B)) /
    (1 - 0.5 * curvature);
  member.ventM3PerS = (box.ventLPerMin * Math.exp(box.ventSd * of('vent'))) / 60_000;
  member.volumeM3 = 0.001 * box.volumeL * Math.exp(box.volumeSd * of('volume'));
  member.packScale = Math.exp(SPREAD.pack * of('pack'));
  member.filmScale = Math.exp(SPREAD.film * of('film'));
  member.heatScale = Math.exp(SPREAD.heat * of('heat'));
  member.dryMassG = setup.netMassG * Math.exp(SPREAD.dryMass * of('dry-mass'));

  const slant = SPREAD.innerOuter * of('inner-outer');
  for (let i = 0; i < SHELLS; i++) {
    const base = priors.carried
      ? priors.carried.activity[i]! * Math.exp(priors.carried.sdLn * of('start'))
      : startActivity(priors, of('start'));
    const carriedSlant = priors.carried ? 0.3 * slant : slant;
    start.activity[i] = Math.min(0.98, base * Math.exp(carriedSlant * (0.5 - (i + 0.5) / SHELLS)));
  }
  start.warmth = priors.warmStart ? normalCdf(of('warm-start')) : 0;
  start.rhOffset = sdOfTolerance(setup.rhTolerancePercent) * of('rh-offset');
  start.rhHeat = SPREAD.rhHeatMean + SPREAD.rhHeat * of('rh-heat');
  start.rhGain = 1 + SPREAD.rhGain * of('rh-gain');
  const supplySd = priors.roomKnown
    ? Math.hypot(1.6 / Math.max(15, roomRhPercent), SPREAD.supplyPlace)
    : SPREAD.roomUnknown;
  start.supplyShare = priors.supply === 'desiccant' ? normalCdf(of('supply')) : Number.NaN;
  start.supplyScale = priors.supply === 'desiccant' ? 1 : Math.exp(supplySd * of('supply'));

  member.paperG = reelPaperG(setup, of('reel-paper'));
  member.paperLagS = REEL_LAG_S * Math.exp(SPREAD.reelLag * of('reel-lag'));
  start.reelActivity = Math.min(
    0.95,
    Math.max(0.01, start.activity[SHELLS - 1]! + SPREAD.reelStart * of('reel-start')),
  );
}

/** Unknown reel: half a chance of 150–250 g of cardboard, as one smooth bend between none and all of it. */
function reelPaperG(setup: DryingSetup, z: number): number {
  if (setup.reel === 'plastic') return 0;
  const paper = setup.reel === 'cardboard' && setup.reelMassG !== null ? setup.reelMassG : CARDBOARD_G;
  return setup.reel === 'cardboard' ? paper * Math.exp(REEL_PAPER_SPREAD * z) : paper * normalCdf(2.5 * z);
}
