/**
 * The polymer of one run: nominal constants as a batch, a grade, a pigment would shift them. The estimators never see
 * these numbers.
 *
 * Letters: s isotherm scale, h width of the hysteresis loop relative to its middle, x place in the loop (0 wetting
 * branch, 1 drying branch), F temperature factor exp[−(ΔH/R)(1/T − 1/296.15 K)].
 */
import { GAS_CONSTANT_J_PER_MOL_K, kelvin } from '../server/units.ts';
import { fitParkIsotherm, type ParkIsotherm, parkActivity, parkMoisture } from './park-isotherm.ts';
import { type MaterialKey, NOMINAL_POLYMERS } from './polymers.ts';
import type { Random } from './random.ts';

export interface Polymer {
  readonly densityKgPerM3: number;
  readonly specificHeatJPerKgK: number;
  /** Middle of the hysteresis loop at 23 °C, scale included. */
  readonly isotherm: ParkIsotherm;
  readonly hysteresis: number;
  /** Change of ln a that crosses the loop from one branch to the other. */
  readonly loopLnActivity: number;
  readonly netEnthalpyJPerMol: number;
  /** Dry polymer's D at the pivot temperature; Arrhenius from there. */
  readonly dryDiffusivityM2PerS: number;
  readonly pivotC: number;
  readonly activationJPerMol: number;
  readonly plasticisationPerWtPercent: readonly [at23C: number, at80C: number];
}

export interface PolymerOverrides {
  /** Multiplies the nominal isotherm; else lognormal 0.20. */
  readonly isothermScale?: number;
  /** Multiplies the nominal D at the run's temperature; else lognormal 0.45. */
  readonly diffusivityFactor?: number;
  /** Multiplies the nominal slope below 10 %RH; else uniform 0.8–1.5. */
  readonly lowSlopeFactor?: number;
  readonly hysteresis?: number;
}

const REFERENCE_C = 23;
/** Sources scatter by 0.35–0.8 in ln D; a bench that names its material well sees 0.45. */
const LN_DIFFUSIVITY_SD = 0.45;
const LN_ISOTHERM_SD = 0.2;

export function drawPolymer(
  material: MaterialKey,
  pivotC: number,
  random: Random,
  given: PolymerOverrides = {},
): Polymer {
  const nominal = NOMINAL_POLYMERS[material];
  // Every number is drawn whether or not it is overridden, so that an override moves nothing else.
  const scaleDrawn = random.logNormal(1, LN_ISOTHERM_SD);
  const diffusivityDrawn = random.logNormal(1, LN_DIFFUSIVITY_SD);
  const lowSlopeDrawn = random.uniform(0.8, 1.5);
  const hysteresisDrawn = random.uniform(0.1, 0.2);
  const affinity = random.uniform(4, 9);
  const clusterExponent = random.uniform(...nominal.clusterExponent);
  const enthalpy = nominal.netEnthalpyJPerMol + random.normal(0, 1000);
  const activation = nominal.activationJPerMol * random.normal(1, 0.06);
  const plasticisation = random.uniform(0.6, 1.4);

  const scale = given.isothermScale ?? scaleDrawn;
  const unit = fitParkIsotherm(
    nominal.lowSlopeWtPercent * (given.lowSlopeFactor ?? lowSlopeDrawn),
    nominal.at50WtPercent,
    nominal.saturatedWtPercent,
    affinity,
    clusterExponent,
  );
  const atPivot =
    nominal.diffusivity23M2PerS *
    arrhenius(nominal.activationJPerMol, pivotC, REFERENCE_C) *
    (given.diffusivityFactor ?? diffusivityDrawn);
  return {
    densityKgPerM3: nominal.densityKgPerM3,
    specificHeatJPerKgK: nominal.specificHeatJPerKgK,
    isotherm: { ...unit, k: unit.k * scale, C: unit.C * scale, q: unit.q * scale },
    hysteresis: given.hysteresis ?? hysteresisDrawn,
    loopLnActivity: 0.4,
    netEnthalpyJPerMol: enthalpy,
    dryDiffusivityM2PerS: atPivot * nominal.dryDiffusivityRatio,
    pivotC,
    activationJPerMol: activation,
    plasticisationPerWtPercent: [
      (nominal.plasticisationPerWtPercent[0] / scale) * plasticisation,
      (nominal.plasticisationPerWtPercent[1] / scale) * plasticisation,
    ],
  };
}

/** exp[−(E/R)(1/T − 1/T_ref)]. */
export function arrhenius(energyJPerMol: number, temperatureC: number, referenceC: number): number {
  return Math.exp(
    (-energyJPerMol / GAS_CONSTANT_J_PER_MOL_K) * (1 / kelvin(temperatureC) - 1 / kelvin(referenceC)),
  );
}

export const temperatureFactor = (polymer: Polymer, temperatureC: number): number =>
  arrhenius(polymer.netEnthalpyJPerMol, temperatureC, REFERENCE_C);

export const dryDiffusivity = (polymer: Polymer, temperatureC: number): number =>
  polymer.dryDiffusivityM2PerS * arrhenius(polymer.activationJPerMol, temperatureC, polymer.pivotC);

/** Linear between 23 and 80 °C, held outside. */
export function plasticisation(polymer: Polymer, temperatureC: number): number {
  const [cold, hot] = polymer.plasticisationPerWtPercent;
  return cold + (hot - cold) * Math.min(1, Math.max(0, (temperatureC - 23) / 57));
}

/**
 * What this polymer holds in the end in air of an activity (RH fraction), wt %. `branch` 1: come from wetter
 * (drying, the default), 0: come from drier.
 */
export function equilibriumWtPercent(
  polymer: Polymer,
  temperatureC: number,
  activity: number,
  branch = 1,
): number {
  const loop = 1 + polymer.hysteresis * (branch - 0.5);
  return temperatureFactor(polymer, temperatureC) * loop * parkMoisture(polymer.isotherm, activity);
}

/** The inverse: activity over a polymer that holds `moistureWtPercent`. */
export function activityOver(
  polymer: Polymer,
  temperatureC: number,
  moistureWtPercent: number,
  branch = 1,
): number {
  const loop = 1 + polymer.hysteresis * (branch - 0.5);
  return parkActivity(
    polymer.isotherm,
    moistureWtPercent / (loop * temperatureFactor(polymer, temperatureC)),
  );
}
