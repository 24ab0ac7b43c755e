/** What-if drying: a spool, a box and a room that nobody has measured yet; the bench's own model and priors. */
import { modelErrorOf } from '../estimators/drying/draws.ts';
import { floorShare } from '../estimators/drying/forecast.ts';
import { meanMoisture, shapeKernel, stepModel } from '../estimators/drying/model.ts';
import type { Stored } from '../estimators/drying/priors.ts';
import {
  BEYOND,
  NEVER,
  type Quantiles,
  quantilesOf,
  type TimeQuantiles,
  timeQuantilesOf,
} from '../estimators/drying/quantiles.ts';
import { supplyOf } from '../estimators/drying/simulate.ts';
import { reducedSaturationGPerM3 } from '../estimators/drying/thermal-table.ts';
import { wettestTurn } from '../estimators/drying/turns.ts';
import type { AirSupply } from '../physics/floor.ts';
import type { PlanQuestion } from '../plan-fields.ts';
import { createPaths, crossingS, curveOf, growingTimes, horizonAfter } from './curve.ts';
import { beginState, createMembers, DRAWS, materialOf, startAt } from './members.ts';
import { evidenceOf, type Limit, limitOf, type PlanAnswer } from './plan-answer.ts';

export interface DryAnswer extends PlanAnswer<'dry'>, Limit {
  readonly materialName: string;
  readonly startWtPercent: Quantiles;
  /** The spool's mean under the limit; s from the start. */
  readonly dryAfterS: TimeQuantiles;
  /** Its wettest turn under the limit. */
  readonly throughAfterS: TimeQuantiles;
  /** Null for a closed box: it has none. */
  readonly floorWtPercent: Quantiles | null;
  readonly pNever: number;
}

/** As far as the bench looks ahead. */
const LONGEST_S = 7 * 86_400;
/**
 * A heated box nears its temperature with this time constant, s, and its spread of ln (judgement: it is there in half
 * an hour to an hour and a half).
 */
const WARMING_S = 1200;
const WARMING_SIGMA_LN = 0.4;
/** A dial is not the air about the spool, °C; a room is not for days as it is typed, sd of ln (both judgement). */
const BOX_SIGMA_C = 1.5;
const ROOM_SIGMA_LN = 0.12;
const TIMES = growingTimes(300, 0.07, 14_400, LONGEST_S);

export function planDry(question: PlanQuestion<'dry'>): DryAnswer {
  const material = materialOf(question.material);
  const limit = limitOf(material, question.limitWtPercent);
  const { limitWtPercent } = limit;
  const dialC = question.boxC ?? material.usualDryingC;
  const supply = question.supply as AirSupply;
  const stated = question.stored === 'weighed';
  const stored = stated ? 'unknown' : (question.stored as Stored);
  const members = createMembers('dry', { material, netMassG: question.netMassG, stored, supply });
  const { bench } = members;
  const { kernel, member, start, state } = bench;
  const roomGPerM3 = 0.01 * question.roomRhPercent * reducedSaturationGPerM3(question.roomC);

  const mean = createPaths(TIMES, DRAWS);
  const turn = createPaths(TIMES, DRAWS);
  const floors = new Float64Array(DRAWS);
  const dryAfter = new Float64Array(DRAWS);
  const throughAfter = new Float64Array(DRAWS);
  for (let draw = 0; draw < DRAWS; draw++) {
    members.take(draw, question.roomRhPercent);
    if (stated) startAt(members, draw, question.startWtPercent);
    shapeKernel(kernel, member);
    beginState(bench, question.roomC, roomGPerM3);
    start.supplyScale *= Math.exp(ROOM_SIGMA_LN * members.normal(draw, 'rh-gain'));
    const boxC = dialC + BOX_SIGMA_C * members.normal(draw, 'rh-offset');
    const incoming = supplyOf(start, roomGPerM3);
    const error = modelErrorOf(members.standard, draw);
    floors[draw] = floorShare(member, boxC, material.netSorptionEnthalpyKJPerMol, incoming);
    const warmingS = WARMING_S * Math.exp(WARMING_SIGMA_LN * members.normal(draw, 'warm-start'));
    const row = draw * TIMES.length;
    for (let i = 0; i < TIMES.length; i++) {
      if (i > 0) {
        const amidS = 0.5 * (TIMES[i]! + TIMES[i - 1]!);
        const airC = boxC - (boxC - question.roomC) * Math.exp(-amidS / warmingS);
        stepModel(kernel, member, state, TIMES[i]! - TIMES[i - 1]!, airC, incoming, 0);
      }
      mean.values[row + i] = error.mean * meanMoisture(kernel, state);
      turn.values[row + i] = error.mean * error.turn * wettestTurn(state.moisture);
    }
    const never = supply !== 'closed' && floors[draw]! >= limitWtPercent ? NEVER : BEYOND;
    dryAfter[draw] = crossingS(mean, draw, limitWtPercent, 'falling') ?? never;
    throughAfter[draw] = crossingS(turn, draw, limitWtPercent, 'falling') ?? never;
  }
  const pNever = supply === 'closed' ? 0 : floors.filter((w) => w >= limitWtPercent).length / DRAWS;
  const starts = Float64Array.from({ length: DRAWS }, (_, draw) => mean.values[draw * TIMES.length]!);
  const dryAfterS = timeQuantilesOf(dryAfter);
  const farS = dryAfterS.p95 ?? dryAfterS.p50 ?? dryAfterS.p05;
  const horizonS = horizonAfter(farS === null ? 86_400 * 3 : Math.max(3600, 1.2 * farS), LONGEST_S);
  return {
    kind: 'dry',
    question,
    ...limit,
    materialName: material.name,
    startWtPercent: quantilesOf(starts),
    dryAfterS,
    throughAfterS: timeQuantilesOf(throughAfter),
    floorWtPercent: supply === 'closed' ? null : quantilesOf(floors),
    pNever,
    curve: curveOf(mean, horizonS, turn),
    assumptions: [
      ...(question.boxC === null ? [`The box stands at ${dialC} °C, as is usual for ${material.name}.`] : []),
      ...assumptionsOf(supply, stated),
    ],
    notes: notesOf(dialC, supply, material),
    evidence: evidenceOf(material, [
      'equilibrium moisture at 50 %RH',
      'isotherm slope at low humidity',
      'isotherm scale, spread',
      'diffusivity',
      'diffusivity, spread',
      'activation energy',
      'printing limit',
      'usual drying temperature',
      'highest drying temperature on the spool',
    ]),
  };
}

function assumptionsOf(supply: AirSupply, stated: boolean): string[] {
  return [
    'The box is hot within half an hour to an hour and a half (judgement) and stays so; the winding follows within hours.',
    'The air about the spool is within 2.5 °C of what is typed, and the room’s water within a fifth for all that time (judgement).',
    supply === 'closed'
      ? 'A closed box breathes 0.05 L/min through its seams (×/÷ 5).'
      : 'The box exchanges 2 L/min of air (×/÷ 3.7) and holds 12 L.',
    ...(supply === 'desiccant'
      ? ['Air that comes in holds between 0.2 g/m³ and what the room’s holds.']
      : []),
    stated
      ? 'The moisture at the start is right to 10 %.'
      : 'The moisture at the start is in level with where it lay, and that is hardly known.',
    'A plastic reel of a common 1 kg size, filament of 1.75 mm, its mass right to 3 %.',
  ];
}

function notesOf(
  boxC: number,
  supply: AirSupply,
  material: { readonly highestDryingC: number; readonly usualDryingC: number; readonly softening: string },
): string[] {
  return [
    ...(boxC > material.highestDryingC
      ? [
          `${boxC} °C is more than the ${material.highestDryingC} °C that the table allows on a spool: ${material.softening}. The maker’s limits, and the reel’s, count.`,
        ]
      : []),
    ...(supply === 'closed'
      ? ['A closed box only fills with water: it must be vented, or its air dried.']
      : []),
  ];
}
