/**
 * A cardboard reel: the second water store of a box. A skin that meets the air and a core behind it.
 *
 * Paper's isotherm after Henderson: a = 1 − exp(−c·w²), with 7 wt % at 50 %RH (from memory; about 4 % at 20 %RH,
 * 11–12 % at 85 %RH), scaled by the run. Letters: w wt % of dry paper, a activity, rho vapour density g/m³.
 */
import { saturationDensityGPerM3 } from '../server/physics/psychrometrics.ts';
import { arrhenius } from './polymer-draw.ts';

export interface ReelSpec {
  readonly dryMassG: number;
  /** wt % at 50 %RH. */
  readonly at50WtPercent: number;
  /** Between skin and core at 70 °C, s. */
  readonly coreTimeS: number;
  /** Air side, m³/s: bare area times transfer coefficient. */
  readonly airM3PerS: number;
  readonly storedActivity: number;
}

export interface ReelTruth {
  readonly out: { out0: number; out1: number };
  stepHeat(airC: number, dtS: number): void;
  relate(dtS: number): void;
  settle(boxDensityGPerM3: number): void;
  waterG(): number;
}

const SKIN_SHARE = 0.3;
/** A reel follows the air in about a quarter of an hour (3 mm board; judgement). */
const HEAT_TIME_S = 900;
const CORE_ACTIVATION_J_PER_MOL = 30_000;

export function reelTruth(spec: ReelSpec, startC: number): ReelTruth {
  const c = Math.LN2 / spec.at50WtPercent ** 2;
  const start = Math.sqrt(-Math.log(1 - Math.min(0.97, spec.storedActivity)) / c);
  let skin = start;
  let core = start;
  let temperatureC = startC;
  const skinG = 0.01 * SKIN_SHARE * spec.dryMassG;
  const coreG = 0.01 * (1 - SKIN_SHARE) * spec.dryMassG;
  const out = { out0: 0, out1: 0 };
  // skin = skin0 + skin1·rho_box; core follows.
  let skin0 = 0;
  let skin1 = 0;
  let exchange = 0;
  let stepS = 1;

  return {
    out,
    stepHeat(airC, dtS) {
      temperatureC += (airC - temperatureC) * (1 - Math.exp(-dtS / HEAT_TIME_S));
    },
    relate(dtS) {
      stepS = dtS;
      const rhoSat = saturationDensityGPerM3(temperatureC);
      const dry = Math.exp(-c * skin * skin);
      // rho over the skin as a line: rho(w) = rho0 + slope·w.
      const slope = rhoSat * 2 * c * skin * dry;
      const rho0 = rhoSat * (1 - dry) - slope * skin;
      exchange = (coreG / spec.coreTimeS) * arrhenius(CORE_ACTIVATION_J_PER_MOL, temperatureC, 70);
      // Core: coreG·(core' − core)/dt = exchange·(skin' − core').
      const coreKeep = coreG / dtS / (coreG / dtS + exchange);
      const back = exchange * coreKeep;
      const d = skinG / dtS + back + spec.airM3PerS * slope;
      skin0 = ((skinG / dtS) * skin + back * core - spec.airM3PerS * rho0) / d;
      skin1 = spec.airM3PerS / d;
      out.out0 = spec.airM3PerS * (rho0 + slope * skin0);
      out.out1 = spec.airM3PerS * (1 - slope * skin1);
    },
    settle(boxDensity) {
      skin = skin0 + skin1 * boxDensity;
      const rate = coreG / stepS;
      core = (rate * core + exchange * skin) / (rate + exchange);
    },
    waterG: () => skinG * skin + coreG * core,
  };
}
