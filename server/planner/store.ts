/**
 * How long a bag with desiccant keeps a spool under its limit.
 *
 * A bag is a box with a very small vent: what permeates is proportional to the difference of vapour pressures, as a vent's
 * flow is. So the winding's own model takes the bag as its box, and the desiccant as air: what it holds at one vapour
 * pressure, by its isotherm, is a volume of air that would hold as much, taken anew along the chord of each step.
 */
import { type ModelState, meanMoisture, shapeKernel, stepModel } from '../estimators/drying/model.ts';
import {
  BEYOND,
  NEVER,
  type Quantiles,
  quantilesOf,
  type TimeQuantiles,
  timeQuantilesOf,
} from '../estimators/drying/quantiles.ts';
import { antitheticNormals, seededUniform } from '../estimators/drying/random.ts';
import { reducedSaturationGPerM3 } from '../estimators/drying/thermal-table.ts';
import {
  FILM_PERMEABILITY,
  filmRateGPerM2Day,
  LAMINATE_RATE_G_PER_M2_DAY,
  roomRateGPerM2Day,
} from '../physics/bag.ts';
import { sieveAt, silicaGelAt25C } from '../physics/desiccant.ts';
import { saturationPressurePa } from '../physics/saturation.ts';
import type { PlanQuestion } from '../plan-fields.ts';
import { kelvin } from '../units.ts';
import { createPaths, crossingS, curveOf, growingTimes, horizonAfter } from './curve.ts';
import { beginState, createMembers, DRAWS, fitToRoom, materialOf, startAt } from './members.ts';
import { type Evidence, evidenceOf, type Limit, limitOf, type PlanAnswer, startOf } from './plan-answer.ts';

export interface StoreAnswer extends PlanAnswer<'store'>, Limit {
  readonly materialName: string;
  /** The spool's mean at the limit, s from the start. */
  readonly passesS: TimeQuantiles;
  /** Through the bag while all inside is dry. */
  readonly inflowGPerDay: Quantiles;
  /** Fresh desiccant that a year in this bag takes, g; null where no bag would hold it. */
  readonly desiccantForYearG: Quantiles | null;
  /** Humidity in the bag at which the spool is level with its limit, %RH. */
  readonly limitRhPercent: Quantiles;
}

const DAY_S = 86_400;
const LONGEST_S = 3 * 365 * DAY_S;
const TIMES = growingTimes(900, 0.09, 30 * DAY_S, LONGEST_S);
const Z95 = 1.6448536269514722;
/** Seals, pinholes and folds of a bag in use, sd of ln (judgement). */
const SEAL_SIGMA_LN = 0.3;
/** What regenerated desiccant is level with when it goes in, fraction of saturation (judgement). */
const FRESH_ACTIVITY = { gel: 0.03, sieve: 0.001 } as const;
/** Air about the spool in a bag, m³. */
const BAG_AIR_M3 = 0.002;
const CHORD_ROUNDS = 2;
/** More than this nobody puts into a bag: it is no answer. */
const MOST_DESICCANT_G = 5000;
/** Shown of a spool that is bagged over its limit: whether the desiccant brings it down. */
const OVER_HORIZON_S = 180 * DAY_S;

export type Desiccant = keyof typeof FRESH_ACTIVITY;

/** Water that a gram of desiccant holds against activity, g; gel near 25 °C, as it was measured. */
export function isothermOf(kind: Desiccant, temperatureC: number): (activity: number) => number {
  if (kind === 'gel') return (activity) => silicaGelAt25C(100 * activity);
  const sieve = sieveAt(temperatureC);
  const saturationPa = saturationPressurePa(temperatureC);
  return (activity) => sieve(activity * saturationPa);
}

/** g/(m²·day) at the test's 38 °C/90 %RH, low and high. */
export function testRateOf(film: string, thicknessUm: number): readonly [number, number] {
  const laminate = LAMINATE_RATE_G_PER_M2_DAY[film];
  if (laminate) return laminate;
  const [low, high] = FILM_PERMEABILITY[film]!;
  return [filmRateGPerM2Day(low, thicknessUm), filmRateGPerM2Day(high, thicknessUm)];
}

export function planStore(question: PlanQuestion<'store'>): StoreAnswer {
  const material = materialOf(question.material);
  const limit = limitOf(material, question.limitWtPercent);
  const { limitWtPercent } = limit;
  const startWtPercent = startOf(question.startWtPercent, limitWtPercent);
  const { roomC, desiccantG } = question;
  const kind = question.desiccant as Desiccant;
  const members = createMembers('store', {
    material,
    netMassG: question.netMassG,
    stored: 'room',
    supply: 'room',
  });
  const { bench } = members;
  const { kernel, member, start } = bench;
  const saturation = reducedSaturationGPerM3(roomC);
  const holdsAt = isothermOf(kind, roomC);
  const rates = testRateOf(question.film, question.thicknessUm);
  const seals = antitheticNormals(seededUniform('plan/store/bag'), DRAWS, 2);

  const mean = createPaths(TIMES, DRAWS);
  const passes = new Float64Array(DRAWS);
  const inflow = new Float64Array(DRAWS);
  const needed = new Float64Array(DRAWS);
  const limitRh = new Float64Array(DRAWS);
  for (let draw = 0; draw < DRAWS; draw++) {
    members.take(draw, question.roomRhPercent);
    const roomActivity = Math.min(0.99, 0.01 * question.roomRhPercent * start.supplyScale);
    // The bag's air is met low on the isotherm: near where the limit stands.
    fitToRoom(members, draw, Math.min(roomActivity, 0.3));
    startAt(members, draw, startWtPercent);
    shapeKernel(kernel, member);
    const perDay = question.bagAreaM2 * permeation(rates, seals, draw, roomC, 100 * roomActivity);
    inflow[draw] = perDay;
    member.ventM3PerS = perDay / (DAY_S * roomActivity * saturation);
    const fresh = FRESH_ACTIVITY[kind];
    beginState(bench, roomC, saturation * (desiccantG > 0 ? fresh : start.activity[0]!));
    keep(bench, { roomC, desiccantG, holdsAt, roomGPerM3: roomActivity * saturation }, mean, draw);

    const limitActivity = limitWtPercent / (member.slopeWtPercent + member.curvature * limitWtPercent);
    limitRh[draw] = 100 * Math.min(1, limitActivity);
    passes[draw] =
      crossingS(mean, draw, limitWtPercent, 'rising') ?? (limitActivity >= roomActivity ? NEVER : BEYOND);
    const spoolTakesG = 0.01 * question.netMassG * (limitWtPercent - startWtPercent);
    const holds = holdsAt(Math.min(1, limitActivity)) - holdsAt(fresh);
    needed[draw] = Math.max(0, 365 * perDay - Math.max(0, spoolTakesG)) / Math.max(1e-4, holds);
  }
  const passesS = timeQuantilesOf(passes);
  const farS = passesS.p95 ?? passesS.p50 ?? passesS.p05;
  const horizonS = horizonAfter(farS === null ? LONGEST_S : Math.max(2 * DAY_S, 1.2 * farS), LONGEST_S);
  const forYearG = quantilesOf(needed);
  const over = startWtPercent >= limitWtPercent;
  const limitRhPercent = quantilesOf(limitRh);
  return {
    kind: 'store',
    question: { ...question, startWtPercent },
    ...limit,
    materialName: material.name,
    passesS,
    inflowGPerDay: quantilesOf(inflow),
    desiccantForYearG: over || forYearG.p50 > MOST_DESICCANT_G ? null : forYearG,
    limitRhPercent,
    curve: curveOf(mean, over ? OVER_HORIZON_S : horizonS, null),
    assumptions: [
      'The bag is closed once and stays closed; each opening costs about what a day in the room does.',
      'Seals and folds let in as much as the film’s own spread and a third more or less (judgement).',
      kind === 'gel'
        ? 'The gel is regenerated: level with 3 %RH when it goes in.'
        : 'The sieve is regenerated: level with 0.1 %RH when it goes in.',
      ...(question.startWtPercent === null ? ['It was dried to half the limit.'] : []),
      'The moisture at the start is right to 10 %, a plastic reel, filament of 1.75 mm.',
    ],
    notes: [
      ...(over
        ? [
            'It is over the limit before it is bagged: desiccant at room temperature takes weeks to change that.',
          ]
        : []),
      ...(limitRhPercent.p50 < 6 && kind === 'gel'
        ? [
            `At this limit the spool is level with air of ${limitRhPercent.p50.toFixed(1)} %RH, where gel holds little: a molecular sieve goes further.`,
          ]
        : []),
    ],
    evidence: [
      ...evidenceOf(material, [
        'equilibrium moisture at 50 %RH',
        'isotherm slope at low humidity',
        'isotherm scale, spread',
        'printing limit',
      ]),
      ...bagEvidence(rates, kind),
    ],
  };
}

/** g/(m²·day) through the bag in the room while all inside is dry. */
function permeation(
  [low, high]: readonly [number, number],
  seals: Float64Array,
  draw: number,
  roomC: number,
  roomRhPercent: number,
): number {
  const centre = 0.5 * (Math.log(low) + Math.log(high));
  const spread = (Math.log(high) - Math.log(low)) / (2 * Z95);
  const rate = Math.exp(centre + spread * seals[2 * draw]! + SEAL_SIGMA_LN * seals[2 * draw + 1]!);
  return roomRateGPerM2Day(rate, roomC, roomRhPercent);
}

interface Bag {
  readonly roomC: number;
  readonly roomGPerM3: number;
  readonly desiccantG: number;
  /** Of a gram of the desiccant, against activity. */
  readonly holdsAt: (activity: number) => number;
}

interface Inside {
  readonly kernel: Parameters<typeof stepModel>[0];
  readonly member: Parameters<typeof stepModel>[1];
  readonly state: ModelState;
}

/** Steps a member through the bag's life and writes its mean moisture down. */
export function keep(
  inside: Inside,
  bag: Bag,
  into: { readonly times: readonly number[]; readonly values: Float64Array },
  draw: number,
): void {
  const { kernel, member, state } = inside;
  const saturation = reducedSaturationGPerM3(bag.roomC);
  const asVolume = kelvin(bag.roomC) / kelvin(23);
  const held = (e: number): number => bag.desiccantG * bag.holdsAt(Math.min(1, Math.max(0, e) / saturation));
  const { times, values } = into;
  const before = {
    modes: new Float64Array(state.modes.length),
    moisture: new Float64Array(state.moisture.length),
    activity: new Float64Array(state.activity.length),
  };
  let wentG = 0;
  for (let i = 0; i < times.length; i++) {
    if (i > 0) {
      const fromG = state.boxGPerM3;
      const heldBeforeG = held(fromG);
      before.modes.set(state.modes);
      before.moisture.set(state.moisture);
      before.activity.set(state.activity);
      // A first chord as far as the step before went; then one to where this one came out.
      let towardsG = fromG + wentG;
      for (let round = 0; round < CHORD_ROUNDS; round++) {
        if (round > 0) {
          state.modes.set(before.modes);
          state.moisture.set(before.moisture);
          state.activity.set(before.activity);
          state.boxGPerM3 = fromG;
        }
        const distance = towardsG - fromG;
        const span = Math.abs(distance) < 1e-9 ? 1e-6 : distance;
        member.volumeM3 = BAG_AIR_M3 + (asVolume * (held(fromG + span) - heldBeforeG)) / span;
        stepModel(kernel, member, state, times[i]! - times[i - 1]!, bag.roomC, bag.roomGPerM3, 0);
        towardsG = state.boxGPerM3;
      }
      wentG = state.boxGPerM3 - fromG;
    }
    values[draw * times.length + i] = meanMoisture(kernel, state);
  }
}

function bagEvidence([low, high]: readonly [number, number], kind: Desiccant): Evidence[] {
  return [
    {
      quantity: 'water through the film, middle of its range',
      value: Math.sqrt(low * high),
      unit: 'g/(m²·day) at 38 °C, 90 %RH',
      sources: ['Table 11.2 Permeability values, Biosystems Engineering; laminates from memory'],
      grade: 'medium',
    },
    {
      quantity: 'activation energy of permeation',
      value: 33.5,
      unit: 'kJ/mol',
      sources: ['polyethylene, from memory'],
      grade: 'low-medium',
    },
    {
      quantity: kind === 'gel' ? 'silica gel at 20 %RH, 25 °C' : 'molecular sieve 5A at 20 %RH, 25 °C',
      value: isothermOf(kind, 25)(0.2),
      unit: 'g/g',
      sources: [
        kind === 'gel'
          ? 'Thu et al. 2013 (SorpPropLib), Fuji RD 2560'
          : 'Wang & LeVan, J. Chem. Eng. Data 54 (2009) 2839',
      ],
      grade: 'high',
    },
  ];
}
