/** Draws of a soak to what is kept and shown: quantiles, probabilities, path. Plain numbers, JSON-able. */
import { normalCdf } from '../drying/normal.ts';
import { type Quantiles, quantilesOf, type TimeQuantiles, timeQuantilesOf } from '../drying/quantiles.ts';
import { DRAWS, PATH_S, type SoakAnswers } from './draws.ts';

export interface SoakSummary {
  readonly finalAirC: Quantiles;
  /** Slow frame: how far it still has to go, °C (positive: it still warms). */
  readonly frameLagC: Quantiles;
  readonly wallC: number;
  readonly frameC: number;
  readonly floorC: number;
  /** P(|end − air| < band). */
  readonly pSteady: number;
  /** P(frame within 2 °C of its own end). */
  readonly pFrameSoaked: number;
  /** s from the summary's time. */
  readonly steadyInS: TimeQuantiles;
  readonly openInS: TimeQuantiles;
  readonly path: readonly { readonly aheadS: number; readonly airC: Quantiles }[];
  /** Sd of the air twelve minutes on, °C. */
  readonly aheadSdC: number;
  /** Draw by draw, in order: for who combines them with other draws. BEYOND: not within a day. */
  readonly steadyDrawsS: readonly number[];
  readonly finalDrawsC: readonly number[];
}

const FRAME_BAND_C = 2;

export function summariseSoak(answers: SoakAnswers, airNowC: number, bandC: number): SoakSummary {
  const share = (holds: (draw: number) => boolean): number => {
    let count = 0;
    for (let d = 0; d < DRAWS; d++) if (holds(d)) count++;
    return count / DRAWS;
  };
  const mean = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / DRAWS;
  // Eighty throws would leave an sd of 0.03 on P, and the first lucky one of many looks would call it.
  const within = (offC: number, sdC: number): number =>
    normalCdf((bandC - offC) / sdC) - normalCdf((-bandC - offC) / sdC);
  const lag = Float64Array.from(answers.frameC, (frameC, d) => answers.finalFrameC[d]! - frameC);
  const points = PATH_S.length;
  const column = (point: number): Float64Array =>
    Float64Array.from({ length: DRAWS }, (_, d) => answers.path[d * points + point]!);
  const soon = Float64Array.from(column(PATH_S.indexOf(900)), (airC, d) => airC - answers.path[d * points]!);
  const soonMean = mean(soon);
  return {
    finalAirC: quantilesOf(Float64Array.from(answers.finalAirC)),
    frameLagC: quantilesOf(Float64Array.from(lag)),
    wallC: mean(answers.wallC),
    frameC: mean(answers.frameC),
    floorC: mean(answers.floorC),
    pSteady: mean(
      Float64Array.from(answers.meanFinalC, (endC, d) => within(endC - airNowC, answers.finalSdC[d]!)),
    ),
    pFrameSoaked: share((d) => Math.abs(lag[d]!) < FRAME_BAND_C),
    steadyInS: timeQuantilesOf(Float64Array.from(answers.steadyInS)),
    openInS: timeQuantilesOf(Float64Array.from(answers.openInS)),
    path: PATH_S.map((aheadS, point) => ({ aheadS, airC: quantilesOf(column(point)) })),
    aheadSdC: Math.sqrt(soon.reduce((sum, value) => sum + (value - soonMean) ** 2, 0) / DRAWS),
    steadyDrawsS: Array.from(answers.steadyInS),
    finalDrawsC: Array.from(answers.finalAirC),
  };
}
