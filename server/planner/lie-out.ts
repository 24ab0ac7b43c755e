/**
 * A dry spool in a room's open air: when the turns outside, and when the spool's mean, pass the limit.
 *
 * The outermost turn is taken as a bare filament in the room's air: what feeds first is wetted first. The mean comes from the winding's model with air that the spool cannot change.
 */
import { modelErrorOf } from '../estimators/drying/draws.ts';
import { meanMoisture, shapeKernel, stepModel } from '../estimators/drying/model.ts';
import {
  BEYOND,
  NEVER,
  type Quantiles,
  quantilesOf,
  type TimeQuantiles,
  timeQuantilesOf,
} from '../estimators/drying/quantiles.ts';
import { reducedSaturationGPerM3 } from '../estimators/drying/thermal-table.ts';
import { uptakeOfCylinder } from '../physics/crank-uptake.ts';
import { diffusivityM2PerS } from '../physics/diffusion.ts';
import type { Material } from '../physics/materials.ts';
import { equilibriumWtPercent, sorptionTemperatureFactor } from '../physics/sorption.ts';
import type { PlanQuestion } from '../plan-fields.ts';
import { createPaths, crossingS, curveOf, growingTimes, horizonAfter, type Paths } from './curve.ts';
import { beginState, createMembers, DRAWS, fitToRoom, materialOf, startAt } from './members.ts';
import { evidenceOf, type Limit, limitOf, type PlanAnswer, startOf } from './plan-answer.ts';

export interface LieOutAnswer extends PlanAnswer<'lie-out'>, Limit {
  readonly materialName: string;
  /** Outermost turn at the limit, s from the start; `never`: the room's air does not take it there. */
  readonly outerPassesS: TimeQuantiles;
  readonly meanPassesS: TimeQuantiles;
  /** What the room takes it to in the end. */
  readonly levelWtPercent: Quantiles;
}

const LONGEST_S = 90 * 86_400;
const TIMES = growingTimes(60, 0.06, 4 * 86_400, LONGEST_S);
const FORCED_M3_PER_S = 1;
const RADIUS_M = 0.000875;

export function planLieOut(question: PlanQuestion<'lie-out'>): LieOutAnswer {
  const material = materialOf(question.material);
  const limit = limitOf(material, question.limitWtPercent);
  const { limitWtPercent } = limit;
  const startWtPercent = startOf(question.startWtPercent, limitWtPercent);
  const { roomC } = question;
  const members = createMembers('lie-out', {
    material,
    netMassG: question.netMassG,
    stored: 'room',
    supply: 'room',
  });
  const { bench } = members;
  const { kernel, member, start, state } = bench;
  const saturation = reducedSaturationGPerM3(roomC);

  const outer = createPaths(TIMES, DRAWS);
  const mean = createPaths(TIMES, DRAWS);
  const levels = new Float64Array(DRAWS);
  const outerPasses = new Float64Array(DRAWS);
  const meanPasses = new Float64Array(DRAWS);
  const factor = sorptionTemperatureFactor(material.netSorptionEnthalpyKJPerMol, roomC);
  for (let draw = 0; draw < DRAWS; draw++) {
    members.take(draw, question.roomRhPercent);
    // The spread of the room's sensor and of its place; a room is never beyond 99 %RH.
    const activity = Math.min(0.99, 0.01 * question.roomRhPercent * start.supplyScale);
    fitToRoom(members, draw, activity);
    member.ventM3PerS = FORCED_M3_PER_S;
    startAt(members, draw, startWtPercent);
    shapeKernel(kernel, member);
    beginState(bench, roomC, activity * saturation);
    const scale = Math.exp(material.isothermScaleSigmaLn * members.normal(draw, 'isotherm'));
    const level = scale * factor * equilibriumWtPercent(material.isotherm, activity);
    levels[draw] = level;
    const row = draw * TIMES.length;
    const begin = meanMoisture(kernel, state);
    const error = modelErrorOf(members.standard, draw).mean;
    for (let i = 0; i < TIMES.length; i++) {
      if (i > 0) stepModel(kernel, member, state, TIMES[i]! - TIMES[i - 1]!, roomC, activity * saturation, 0);
      // What the model gets wrong is the gain: the start was stated.
      mean.values[row + i] = begin + error * (meanMoisture(kernel, state) - begin);
    }
    wetFilament(material, member.diffusivityScale, roomC, begin, level, outer, draw);
    const never = level < limitWtPercent ? NEVER : BEYOND;
    outerPasses[draw] = crossingS(outer, draw, limitWtPercent, 'rising') ?? never;
    meanPasses[draw] = crossingS(mean, draw, limitWtPercent, 'rising') ?? never;
  }
  const outerPassesS = timeQuantilesOf(outerPasses);
  const farS = outerPassesS.p95 ?? outerPassesS.p50 ?? outerPassesS.p05;
  const horizonS = horizonAfter(farS === null ? 14 * 86_400 : Math.max(3600, 1.5 * farS), LONGEST_S);
  return {
    kind: 'lie-out',
    question: { ...question, startWtPercent },
    ...limit,
    materialName: material.name,
    outerPassesS,
    meanPassesS: timeQuantilesOf(meanPasses),
    levelWtPercent: quantilesOf(levels),
    curve: curveOf(outer, horizonS, mean),
    assumptions: [
      'The outermost turn is wetted like a bare filament; turns beneath follow it later.',
      'The room stays as it is.',
      ...(question.startWtPercent === null ? ['It was dried to half the limit.'] : []),
      'The moisture at the start is right to 10 %, and the room’s humidity to 5 % of itself.',
      ...(material.concentrationLaw.perWtPercentAt23C > 0
        ? ['Wetting is faster than drying in this material; how much faster is judgement.']
        : []),
      'Filament of 1.75 mm.',
    ],
    notes: startWtPercent >= limitWtPercent ? ['It is over the limit before it is taken out.'] : [],
    evidence: evidenceOf(material, [
      'equilibrium moisture at 50 %RH',
      'isotherm scale, spread',
      'diffusivity',
      'diffusivity, spread',
      'activation energy',
      'printing limit',
    ]),
  };
}

/**
 * A filament in air that holds its surface at `level`: Crank's cylinder in full, since a limit is often met within the
 * first hundredth of the way. Its clock is ∫D·dt, with D of the moisture it has come to.
 */
export function wetFilament(
  material: Material,
  diffusivityScale: number,
  temperatureC: number,
  startWtPercent: number,
  level: number,
  into: Paths,
  draw: number,
): void {
  const { times } = into;
  let moisture = startWtPercent;
  let x = 0;
  for (let i = 0; i < times.length; i++) {
    if (i > 0) {
      const D =
        diffusivityScale *
        diffusivityM2PerS(
          material.diffusivityM2PerS,
          material.activationEnergyKJPerMol,
          material.concentrationLaw,
          temperatureC,
          moisture,
        );
      x += (D * (times[i]! - times[i - 1]!)) / (RADIUS_M * RADIUS_M);
      moisture = startWtPercent + (level - startWtPercent) * uptakeOfCylinder(x);
    }
    into.values[draw * times.length + i] = moisture;
  }
}
