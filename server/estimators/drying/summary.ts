/** Draws to what is kept and shown: quantiles, probabilities, profile, path. Plain numbers, JSON-able. */
import { DRAWS, type DrawAnswers } from './draws.ts';
import { SHELLS } from './model.ts';
import { type Quantiles, quantilesOf, type TimeQuantiles, timeQuantilesOf } from './quantiles.ts';

export interface Summary {
  readonly mean: Quantiles;
  readonly wettest: Quantiles;
  readonly readyShare: Quantiles;
  /** Null where nothing is known of the air, or a closed box has none. */
  readonly floor: Quantiles | null;
  readonly dryAtS: TimeQuantiles;
  readonly dryThroughAtS: TimeQuantiles;
  readonly pDry: number;
  readonly pNever: number;
  readonly coreC: number;
  /** Hub to outside. */
  readonly profile: readonly Quantiles[];
  /** Seconds ahead and moisture of the mean there. */
  readonly path: readonly { readonly aheadS: number; readonly mean: Quantiles }[];
}

export function summarise(
  answers: DrawAnswers,
  limitWtPercent: number,
  pathS: readonly number[],
  hasFloor: boolean,
): Summary {
  const count = (values: Float64Array, holds: (value: number) => boolean): number =>
    values.reduce((sum, value) => sum + (holds(value) ? 1 : 0), 0) / values.length;
  const column = (values: Float64Array, width: number, at: number): Float64Array =>
    Float64Array.from({ length: DRAWS }, (_, draw) => values[draw * width + at]!);
  const floorKnown = hasFloor && !Number.isNaN(answers.floor[0]!);
  const pDry = count(answers.mean, (w) => w < limitWtPercent);
  const pNever = floorKnown ? count(answers.floor, (w) => w >= limitWtPercent) : 0;
  const coreC = answers.coreC.reduce((sum, value) => sum + value, 0) / DRAWS;
  return {
    pDry,
    pNever,
    coreC,
    mean: quantilesOf(answers.mean),
    wettest: quantilesOf(answers.wettest),
    readyShare: quantilesOf(answers.readyShare),
    floor: floorKnown ? quantilesOf(answers.floor) : null,
    dryAtS: timeQuantilesOf(answers.dryAtS),
    dryThroughAtS: timeQuantilesOf(answers.dryThroughAtS),
    profile: Array.from({ length: SHELLS }, (_, i) => quantilesOf(column(answers.profile, SHELLS, i))),
    path: pathS.map((aheadS, point) => ({
      aheadS,
      mean: quantilesOf(column(answers.path, pathS.length, point)),
    })),
  };
}
