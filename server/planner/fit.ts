/**
 * Whether a printed part will still fit: how much water a wall takes up in a room, and how much longer the part grows.
 * The wall is a plane sheet wetted from both faces, as ISO 62 evaluates water absorption.
 */

import { diffusivitySd, SPREAD } from '../estimators/drying/priors.ts';
import {
  BEYOND,
  type Quantiles,
  quantilesOf,
  type TimeQuantiles,
  timeQuantilesOf,
} from '../estimators/drying/quantiles.ts';
import { antitheticNormals, seededUniform } from '../estimators/drying/random.ts';
import { uptakeOfSheet } from '../physics/crank-uptake.ts';
import { diffusivityM2PerS } from '../physics/diffusion.ts';
import type { Material } from '../physics/materials.ts';
import { equilibriumWtPercent, sorptionTemperatureFactor } from '../physics/sorption.ts';
import { expansionBoundPercentPerWtPercent, swellingMm } from '../physics/swelling.ts';
import type { PlanQuestion } from '../plan-fields.ts';
import { createPaths, crossingS, curveOf, growingTimes, horizonAfter } from './curve.ts';
import { DRAWS, materialOf } from './members.ts';
import { type Evidence, evidenceOf, type PlanAnswer, startOf } from './plan-answer.ts';

export interface FitAnswer extends PlanAnswer<'fit'> {
  readonly materialName: string;
  /** Moisture in the end, and how much of it is gained; negative where the room is drier than the part. */
  readonly levelWtPercent: Quantiles;
  readonly gainWtPercent: Quantiles;
  /** Growth of the dimension in the end. */
  readonly growthMm: Quantiles;
  /** Half of the growth is there; s from the start. */
  readonly halfGrownS: TimeQuantiles;
  /** What to leave, so that nine in ten and a half parts still fit: the larger end of the growth, not below 0. */
  readonly clearanceMm: number;
  /** False: nobody has published this material's expansion, and only its bound is known. */
  readonly expansionKnown: boolean;
}

const LONGEST_S = 3 * 365 * 86_400;
const TIMES = growingTimes(120, 0.06, 60 * 86_400, LONGEST_S);
const Z95 = 1.6448536269514722;
/** Draws' columns: isotherm, diffusivity, expansion, direction, room. */
const COLUMNS = 5;
/** Strain across the flow may be a half more than along it (Polymers 15 (2023) 3387): sd of ln. */
const DIRECTION_SIGMA_LN = 0.12;
/** Least share of the bound that an unknown expansion is given: PC's, the lowest of those published (judgement). */
const LEAST_SHARE_OF_BOUND = 0.3;
/** Print moisture as stated. */
const STATED_SIGMA_LN = 0.05;

export function planFit(question: PlanQuestion<'fit'>): FitAnswer {
  const material = materialOf(question.material);
  const { roomC, sizeMm, wallMm } = question;
  const startWtPercent = startOf(question.startWtPercent, material.printingLimitWtPercent);
  const normals = antitheticNormals(seededUniform('plan/fit'), DRAWS, COLUMNS);
  const known = material.expansionPercentPerWtPercent;
  const bound = expansionBoundPercentPerWtPercent(material.densityKgPerM3);
  const [low, high] = known ?? [LEAST_SHARE_OF_BOUND * bound, bound];
  const factor = sorptionTemperatureFactor(material.netSorptionEnthalpyKJPerMol, roomC);

  const growth = createPaths(TIMES, DRAWS);
  const levels = new Float64Array(DRAWS);
  const gains = new Float64Array(DRAWS);
  const ends = new Float64Array(DRAWS);
  const halves = new Float64Array(DRAWS);
  const shares = createPaths(TIMES, DRAWS);
  for (let draw = 0; draw < DRAWS; draw++) {
    const [isotherm, diffusivity, expansion, direction, room] = normals.subarray(
      draw * COLUMNS,
      (draw + 1) * COLUMNS,
    ) as unknown as [number, number, number, number, number];
    const activity = Math.min(0.99, 0.01 * question.roomRhPercent * Math.exp(SPREAD.supplyPlace * room));
    levels[draw] =
      Math.exp(material.isothermScaleSigmaLn * isotherm) *
      factor *
      equilibriumWtPercent(material.isotherm, activity);
    const begin = startWtPercent * Math.exp(STATED_SIGMA_LN * room);
    gains[draw] = levels[draw]! - begin;
    const centre = 0.5 * (Math.log(low) + Math.log(high));
    const spread = (Math.log(high) - Math.log(low)) / (2 * Z95);
    const strain = Math.exp(centre + spread * expansion + DIRECTION_SIGMA_LN * direction);
    ends[draw] = swellingMm(sizeMm, strain, gains[draw]!);
    const scale = Math.exp(diffusivitySd(material) * diffusivity);
    const share = shareOfUptake(TIMES, material, scale, roomC, begin, levels[draw]!, wallMm);
    const row = draw * TIMES.length;
    for (let i = 0; i < TIMES.length; i++) {
      growth.values[row + i] = ends[draw]! * share[i]!;
      shares.values[row + i] = share[i]!;
    }
    halves[draw] = crossingS(shares, draw, 0.5, 'rising') ?? BEYOND;
  }
  const halfGrownS = timeQuantilesOf(halves);
  const growthMm = quantilesOf(ends);
  return {
    kind: 'fit',
    question: { ...question, startWtPercent },
    materialName: material.name,
    levelWtPercent: quantilesOf(levels),
    gainWtPercent: quantilesOf(gains),
    growthMm,
    halfGrownS,
    clearanceMm: Math.max(0, growthMm.p95),
    expansionKnown: known !== null,
    curve: curveOf(growth, horizonAfter(4 * (halfGrownS.p50 ?? LONGEST_S / 4), LONGEST_S), null),
    assumptions: [
      ...(question.startWtPercent === null ? ['It was printed at half the printing limit.'] : []),
      'The wall is wetted from both faces; sparse infill lets air in and is quicker, a solid part is as stated.',
      'The part grows alike in all directions to a sixth; across the flow it may be a half more.',
      'Growth is in step with the mean moisture of the wall; while it is uneven, the part may also warp.',
      'The room stays as it is.',
    ],
    notes: known
      ? []
      : [
          'Nobody has published how much this material grows with moisture: from a third of it to all of the water’s volume is taken (judgement).',
        ],
    evidence: [
      ...evidenceOf(material, [
        'density',
        'equilibrium moisture at 50 %RH',
        'isotherm scale, spread',
        'diffusivity',
        'diffusivity, spread',
        'activation energy',
      ]),
      ...expansionEvidence(material, bound),
    ],
  };
}

/** Share of the way to the level at each time; D follows the mean moisture, as its law has it. */
export function shareOfUptake(
  times: readonly number[],
  material: Material,
  diffusivityScale: number,
  temperatureC: number,
  startWtPercent: number,
  level: number,
  wallMm: number,
): number[] {
  const wallM = 0.001 * wallMm;
  let x = 0;
  let share = 0;
  return times.map((atS, i) => {
    if (i === 0) return 0;
    const D =
      diffusivityScale *
      diffusivityM2PerS(
        material.diffusivityM2PerS,
        material.activationEnergyKJPerMol,
        material.concentrationLaw,
        temperatureC,
        startWtPercent + share * (level - startWtPercent),
      );
    x += (D * (atS - times[i - 1]!)) / (wallM * wallM);
    share = uptakeOfSheet(x);
    return share;
  });
}

function expansionEvidence(material: Material, bound: number): Evidence[] {
  const rows = material.evidence.filter((row) => row.quantity.startsWith('moisture expansion'));
  return [
    ...rows,
    {
      quantity: 'moisture expansion if volumes add, its bound',
      value: bound,
      unit: 'linear % per wt %',
      sources: ['ρ of the polymer over three times that of water'],
      grade: 'computed',
    },
  ];
}
