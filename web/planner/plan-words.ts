/** The planner's answer as a heading and what stands under it. Pure. */
import type {
  AirPlan,
  DryPlan,
  FitPlan,
  LieOutPlan,
  PlanAfter,
  PlanAnswer,
  StorePlan,
} from '../../server/api/messages-plan.ts';
import { count, EN_DASH, type Format, fixed, moisture, moistureRange, range, withUnit } from '../format.ts';
import type { Piece } from '../pieces.ts';
import { PLAN_ANSWER as SAY } from '../words/planner.ts';
import { afterRange, spanRange, spanText } from './span.ts';

export interface PlanWords {
  readonly heading: string;
  readonly tell: readonly Piece[];
}

/** As far as the server looks ahead, by question; what lies beyond is said to be later. */
export const HORIZON_S = {
  dry: 7 * 86_400,
  'lie-out': 90 * 86_400,
  store: 1095 * 86_400,
  fit: 1095 * 86_400,
};
/** From this chance on, *never* is the answer. */
const SURE = 0.8;

export function sayPlan(answer: PlanAnswer, format: Format): PlanWords {
  switch (answer.kind) {
    case 'dry':
      return sayDry(answer);
    case 'lie-out':
      return sayLieOut(answer);
    case 'store':
      return sayStore(answer);
    case 'fit':
      return sayFit(answer);
    case 'air':
      return sayAir(answer, format);
  }
}

const limitText = (wtPercent: number): string => SAY.percent(moisture(wtPercent));
const likely = (after: PlanAfter, say: (text: string) => Piece[] = SAY.likely): Piece[] =>
  after.p50 === null || after.p50 === 0 ? [] : say(spanText(after.p50));

function sayDry(answer: DryPlan): PlanWords {
  const { dryAfterS, throughAfterS, floorWtPercent, pNever } = answer;
  const limit = limitText(answer.limitWtPercent);
  const floor = floorWtPercent && ([limitText(floorWtPercent.p50), moistureRange(floorWtPercent)] as const);
  if (pNever >= SURE) return { heading: SAY.dry.never(limit), tell: floor ? SAY.dry.stops(...floor) : [] };
  const horizonS = HORIZON_S.dry;
  const after = afterRange(dryAfterS, horizonS);
  const through = afterRange(throughAfterS, horizonS);
  const end: Piece[] = floor ? SAY.dry.floor(...floor) : [SAY.dry.noFloor];
  if (after === null) return { heading: SAY.dry.later(spanText(horizonS)), tell: end };
  if (dryAfterS.p95 === 0) return { heading: SAY.dry.already(limit), tell: end };
  return {
    heading: SAY.dry.after(after),
    tell: [
      ...likely(dryAfterS),
      ...(through === null ? [] : [SAY.dry.through(through)]),
      ...(pNever >= 0.05 ? [SAY.dry.chance(Math.round(100 * pNever))] : []),
      ...end,
    ],
  };
}

function sayLieOut(answer: LieOutPlan): PlanWords {
  const { outerPassesS, meanPassesS, levelWtPercent } = answer;
  const limit = limitText(answer.limitWtPercent);
  const horizonS = HORIZON_S['lie-out'];
  const level = SAY.lieOut.level(limitText(levelWtPercent.p50), moistureRange(levelWtPercent));
  const passes = afterRange(outerPassesS, horizonS);
  if (passes === null) {
    const never = outerPassesS.reason.p05 === 'never';
    return {
      heading: never ? SAY.lieOut.never(limit) : SAY.lieOut.later(limit, spanText(horizonS)),
      tell: level,
    };
  }
  if (outerPassesS.p95 === 0) return { heading: SAY.lieOut.already(limit), tell: level };
  const mean = afterRange(meanPassesS, horizonS);
  return {
    heading: SAY.lieOut.passes(limit, passes),
    tell: [...likely(outerPassesS), ...(mean === null ? [] : [SAY.lieOut.mean(mean)]), ...level],
  };
}

function sayStore(answer: StorePlan): PlanWords {
  const { passesS, inflowGPerDay: inflow, desiccantForYearG: year } = answer;
  const limit = limitText(answer.limitWtPercent);
  const horizonS = HORIZON_S.store;
  const tell: Piece[] = [
    ...SAY.store.inflow(massText(inflow.p50), massRange(inflow.p05, inflow.p95)),
    ...(year === null
      ? [SAY.store.noneYear]
      : year.p95 < 0.5
        ? [SAY.store.freeYear]
        : SAY.store.year(massText(year.p50), massRange(year.p05, year.p95))),
  ];
  const holds = afterRange(passesS, horizonS);
  if (holds === null) {
    const never = passesS.reason.p05 === 'never';
    return {
      heading: never ? SAY.store.never(limit) : SAY.store.later(limit, spanText(horizonS)),
      tell,
    };
  }
  if (passesS.p95 === 0) return { heading: SAY.store.already(limit), tell };
  return {
    heading: SAY.store.holds(limit, holds),
    tell: [...likely(passesS, SAY.store.likely), ...tell],
  };
}

/** Grams from tenths of a milligram to kilograms, to two figures. */
const massFigure = (massG: number): string => {
  if (!(massG > 0)) return '0';
  const power = Math.floor(Math.log10(massG));
  return power >= 2 ? count(Number(massG.toPrecision(2))) : fixed(massG, Math.min(4, Math.max(0, 1 - power)));
};
const massText = (massG: number): string => withUnit(massFigure(massG), 'g');
const massRange = (lowG: number, highG: number): string =>
  `${massFigure(lowG)}${EN_DASH}${massFigure(highG)}`;

/** A hundredth of a millimetre is what a printer and a calliper know. */
const lengthText = (mm: number): string => withUnit(fixed(mm, 2), 'mm');

function sayFit(answer: FitPlan): PlanWords {
  const { growthMm: growth, gainWtPercent: gain, halfGrownS } = answer;
  const sizeMm = Number(answer.question['sizeMm']);
  const gained = SAY.fit.gain(limitText(gain.p50), moistureRange(gain));
  const [low, high] = growth.p50 < 0 ? [-growth.p95, -growth.p05] : [growth.p05, growth.p95];
  if (high < 0.005) return { heading: SAY.fit.hardly(lengthText(0.01)), tell: gained };
  const span = withUnit(range(Math.max(0, low), high, 2), 'mm');
  const half =
    halfGrownS.p05 === null || halfGrownS.p95 === null ? null : spanRange(halfGrownS.p05, halfGrownS.p95);
  return {
    heading: growth.p50 < 0 ? SAY.fit.shrinks(span) : SAY.fit.grows(span),
    tell: [
      ...SAY.fit.likely(lengthText(Math.abs(growth.p50))),
      half === null ? '.' : SAY.fit.half(half),
      ...(answer.clearanceMm > 0
        ? [SAY.fit.leave(lengthText(answer.clearanceMm), withUnit(String(sizeMm), 'mm'))]
        : []),
      ...(growth.p50 < 0 ? [] : gained),
    ],
  };
}

function sayAir(answer: AirPlan, format: Format): PlanWords {
  const { air, heatedRhPercent } = answer;
  const degrees = (celsius: number): string => withUnit(format.temperature(celsius), format.temperatureUnit);
  const to = degrees(Number(answer.question['heatedToC']));
  const density = air.vapourDensityBandGPerM3;
  const band = air.dewPointBand;
  const dew: Piece[] =
    band === null
      ? []
      : band.kind === 'at-most' || band.lowC === null
        ? [SAY.air.dewAtMost(degrees(band.highC))]
        : band.kind === 'interval' || air.dewPointC === null
          ? [SAY.air.dewInterval(degrees(band.lowC), degrees(band.highC))]
          : SAY.air.dew(degrees(air.dewPointC), format.temperatureRange(band.lowC, band.highC));
  return {
    heading:
      heatedRhPercent.middle > 100
        ? SAY.air.condenses(to)
        : SAY.air.heated(to, withUnit(fixed(heatedRhPercent.middle, 1), '%RH')),
    tell: [
      ...(density
        ? SAY.air.holds(
            withUnit(fixed(air.vapourDensityGPerM3, 1), 'g/m³'),
            range(density.low, density.high, 1),
          )
        : []),
      ...dew,
    ],
  };
}
