/**
 * A drying box with a spool in it: the truth that estimates are judged by.
 *
 * How it differs from the estimators' reduced model, on purpose:
 * - winding: 16 uneven shells on two sides of unlike temperature, open flanges, own porosity in each shell (theirs: 6
 *   even shells, one side, a fixed porosity); pores hold vapour; retardation comes out of the balance, not from a law;
 * - filament: 10 graded rings by finite volumes (theirs: three modes of a cylinder);
 * - polymer: Park's isotherm (sites + Henry + clusters) with a hysteresis loop and scanning curves, scale, low slope,
 *   enthalpy, D, activation and plasticisation drawn per run (theirs: a rational law, no hysteresis);
 * - heat: heater, switching thermostat, air, wall, winding, evaporation (theirs: driven by the measured temperature);
 * - air: the vent exchanges *mass*: vapour pressure, not vapour density, is kept when room air warms up; warming air
 *   is pushed out; the vent's draught grows with temperature; lids; a room that wanders; a cardboard reel behind it.
 *
 * Water is kept to rounding: spool + reel + box air + given away = constant.
 */
import { saturationDensityGPerM3, vapourDensityGPerM3 } from '../server/physics/psychrometrics.ts';
import { saturationPressurePa } from '../server/physics/saturation.ts';
import { kelvin, WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K } from '../server/units.ts';
import { type BoxHeatSpec, boxHeat } from './box-heat.ts';
import { activityOver, equilibriumWtPercent, type Polymer } from './polymer-draw.ts';
import type { Random } from './random.ts';
import { type ReelSpec, reelTruth } from './reel-truth.ts';
import { type RoomSpec, type RoomTruth, roomTruth } from './room-truth.ts';
import { type SpoolTruth, spoolTruth } from './spool-truth.ts';
import { type WindingSpec, wind } from './winding.ts';

export interface DryingSpec {
  readonly polymer: Polymer;
  readonly winding: WindingSpec;
  readonly filamentRadiusM: number;
  readonly ringCount: number;
  readonly heat: BoxHeatSpec;
  readonly room: RoomSpec;
  /** Null: a plastic reel that holds no water worth counting. */
  readonly reel: ReelSpec | null;
  readonly reelMassG: number;
  readonly airVolumeL: number;
  /** Room air drawn in at the set temperature, L/min. */
  readonly ventLPerMin: number;
  /** Air drawn in comes from a dryer: its vapour pressure is at most this. */
  readonly driedSupplyPa: number | null;
  readonly lids: readonly { readonly fromS: number; readonly toS: number }[];
  /** Air changes of an open lid: one volume in this time. */
  readonly lidMixS: number;
  /** Air at the heater's side is warmer by this than the box's mean, while hot. */
  readonly sideOffsetC: number;
  /** Moisture of the outermost shell at the start and of the innermost over it. */
  readonly startWtPercent: number;
  readonly innerRatio: number;
  /** Place in the hysteresis loop at the start. */
  readonly startBranch: number;
}

export interface DryingTruth {
  step(dtS: number): void;
  readonly elapsedS: number;
  readonly room: RoomTruth;
  readonly spool: SpoolTruth;
  readonly airC: number;
  readonly airRhPercent: number;
  readonly airVapourPa: number;
  readonly heating: boolean;
  readonly lidOpen: boolean;
  /** Filament, without water. */
  readonly dryMassG: number;
  meanWtPercent(): number;
  /** Moisture of the wettest turn: mean over its section and its round. */
  wettestTurnWtPercent(): number;
  /** Turn means, hub to outside. */
  shellWtPercent(): Float64Array;
  readonly shellDryMassG: Float64Array;
  /** Filament from the outside in whose every turn is under the limit, g of dry mass. */
  outerGUnder(limitWtPercent: number): number;
  coreC(): number;
  outerC(): number;
  reelWaterG(): number;
  spoolWaterG(): number;
  /** What a perfect scale under the spool shows: filament, its water, the reel and the reel's. */
  scaleG(): number;
  /** Water in spool, reel and box air. */
  waterG(): number;
  /** Water given to the room since the start. */
  givenAwayG(): number;
  /** What this polymer holds in the end at a temperature, in air of a vapour pressure; coming from wetter. */
  equilibriumWtPercent(temperatureC: number, vapourPa: number): number;
  /** The same at the box's temperature in the air that the vent draws in now. */
  floorWtPercent(): number;
  /** Whole heat and water history depends on the seed alone: vent flow at the moment, L/min of room air. */
  ventLPerMin(): number;
}

/** Steps of the equations; the caller's longer steps are cut. A thermostat would not live through longer ones. */
const LONGEST_STEP_S = 10;
const AIR_HEAT_J_PER_M3_K = 1150;

/** `sharedRoom`: the room of a whole bench; else the spec's own. */
export function dryingTruth(spec: DryingSpec, random: Random, sharedRoom?: RoomTruth): DryingTruth {
  const room = sharedRoom ?? roomTruth(spec.room, random.fork('room'));
  const winding = wind(spec.winding);
  const shells = winding.shells;
  const startC = room.temperatureC;
  const volumeM3 = spec.airVolumeL / 1000;
  const start = startProfile(spec, shells, startC);
  const spool = spoolTruth(
    spec.polymer,
    winding,
    spec.winding.sideShare,
    spec.filamentRadiusM,
    spec.ringCount,
    start,
  );
  const reel = spec.reel === null ? null : reelTruth(spec.reel, startC);
  const heat = boxHeat(spec.heat, startC);
  let dryMassG = 0;
  for (const grams of winding.dryMassG) dryMassG += grams;
  let elapsedS = 0;
  let density = vapourDensityGPerM3(startC, room.vapourPressurePa);
  let givenAway = 0;
  let lidOpen = false;
  let ventM3PerS = 0;

  const inletPa = (): number =>
    spec.driedSupplyPa === null ? room.vapourPressurePa : Math.min(room.vapourPressurePa, spec.driedSupplyPa);

  const substep = (dt: number): void => {
    room.moveTo(elapsedS + dt);
    let open = 0;
    for (const lid of spec.lids)
      open += Math.max(0, Math.min(elapsedS + dt, lid.toS) - Math.max(elapsedS, lid.fromS));
    lidOpen = open > 0;
    const lidM3PerS = (volumeM3 / spec.lidMixS) * (open / dt);
    // A warm box draws: part of the flow is a fan's or a crack's, part grows with the root of the excess temperature.
    const excess = Math.max(0, heat.airC - room.temperatureC);
    const whole = Math.max(10, spec.heat.setTemperatureC - spec.room.meanTemperatureC);
    ventM3PerS = (spec.ventLPerMin / 60_000) * (0.35 + 0.65 * Math.sqrt(excess / whole));

    const before = heat.airC;
    const side = spec.sideOffsetC * Math.min(1, excess / whole);
    const share = spec.winding.sideShare;
    const spoolW = spool.stepHeat([before + side, before - (side * share[0]) / share[1]], before, dt);
    reel?.stepHeat(before, dt);
    heat.step(elapsedS, dt, room.temperatureC, (ventM3PerS + lidM3PerS) * AIR_HEAT_J_PER_M3_K, spoolW);

    // Volumes grow with temperature on the way through: vapour pressure, not density, is what is kept.
    const growth = kelvin(heat.airC) / kelvin(room.temperatureC);
    const swell = (volumeM3 * (heat.airC - before)) / kelvin(heat.airC) / dt;
    const outM3PerS = ventM3PerS * growth + lidM3PerS + Math.max(0, swell);
    const ventDensity = vapourDensityGPerM3(room.temperatureC, inletPa());
    const roomDensity = vapourDensityGPerM3(room.temperatureC, room.vapourPressurePa);
    const inG = ventM3PerS * ventDensity + ((lidM3PerS + Math.max(0, -swell)) / growth) * roomDensity;

    spool.relate(density, dt);
    reel?.relate(dt);
    const out0 = spool.out.out0 + (reel?.out.out0 ?? 0);
    const out1 = spool.out.out1 + (reel?.out.out1 ?? 0);
    density = ((volumeM3 / dt) * density + out0 + inG) / (volumeM3 / dt + out1 + outM3PerS);
    spool.settle(density);
    reel?.settle(density);
    givenAway += dt * (outM3PerS * density - inG);
    elapsedS += dt;
  };

  const shellWtPercent = (): Float64Array => {
    const profile = new Float64Array(shells);
    for (let i = 0; i < shells; i++) profile[i] = spool.turnWtPercent(i);
    return profile;
  };
  const floor = (temperatureC: number, vapourPa: number): number =>
    equilibriumWtPercent(spec.polymer, temperatureC, vapourPa / saturationPressurePa(temperatureC));
  const reelWaterG = (): number => reel?.waterG() ?? 0;

  return {
    step(dtS) {
      const endS = elapsedS + dtS;
      const count = Math.max(1, Math.ceil(dtS / LONGEST_STEP_S - 1e-9));
      for (let i = 0; i < count; i++) substep(dtS / count);
      elapsedS = endS;
    },
    room,
    spool,
    dryMassG,
    shellDryMassG: winding.dryMassG,
    get elapsedS() {
      return elapsedS;
    },
    get airC() {
      return heat.airC;
    },
    get airRhPercent() {
      return (100 * density) / saturationDensityGPerM3(heat.airC);
    },
    get airVapourPa() {
      return 0.001 * density * WATER_VAPOUR_GAS_CONSTANT_J_PER_KG_K * kelvin(heat.airC);
    },
    get heating() {
      return heat.heating;
    },
    get lidOpen() {
      return lidOpen;
    },
    meanWtPercent() {
      let sum = 0;
      for (let i = 0; i < shells; i++) sum += winding.dryMassG[i]! * spool.turnWtPercent(i);
      return sum / dryMassG;
    },
    wettestTurnWtPercent: () => Math.max(...shellWtPercent()),
    shellWtPercent,
    outerGUnder: (limit) => outerGUnder(shellWtPercent(), winding.dryMassG, limit),
    coreC: () => spool.shellTemperatureC(0),
    outerC: () => spool.shellTemperatureC(shells - 1),
    reelWaterG,
    spoolWaterG: () => spool.waterG(),
    scaleG: () => dryMassG + spool.waterG() + spec.reelMassG + reelWaterG(),
    waterG: () => spool.waterG() + reelWaterG() + volumeM3 * density,
    givenAwayG: () => givenAway,
    equilibriumWtPercent: floor,
    floorWtPercent: () => floor(heat.airC, inletPa()),
    ventLPerMin: () => ventM3PerS * 60_000,
  };
}

/** Linear from the hub's moisture to the outside's. */
function startProfile(spec: DryingSpec, shells: number, startC: number) {
  const shellWtPercent: number[] = [];
  const shellActivity: number[] = [];
  const wettest = equilibriumWtPercent(spec.polymer, startC, 0.97, spec.startBranch);
  for (let i = 0; i < shells; i++) {
    const inwards = 1 - (i + 0.5) / shells;
    const wanted = spec.startWtPercent * (1 + (spec.innerRatio - 1) * inwards);
    const moisture = Math.min(wettest, wanted);
    shellWtPercent.push(moisture);
    shellActivity.push(activityOver(spec.polymer, startC, moisture, spec.startBranch));
  }
  return { temperatureC: startC, shellWtPercent, shellActivity, branch: spec.startBranch };
}

/** Whole shells from the outside, then the part of the first wet one that lies outside the crossing of the limit. */
function outerGUnder(profile: Float64Array, grams: Float64Array, limit: number): number {
  let sum = 0;
  for (let i = profile.length - 1; i >= 0; i--) {
    const here = profile[i]!;
    if (here > limit) {
      const outside = i + 1 < profile.length ? profile[i + 1]! : here;
      if (outside >= limit || here <= outside) return sum;
      // Straight between the centres of the two shells: the crossing lies in one half or the other.
      const share = (limit - outside) / (here - outside);
      return share >= 0.5 ? sum + (share - 0.5) * grams[i]! : sum - (0.5 - share) * grams[i + 1]!;
    }
    sum += grams[i]!;
  }
  return sum;
}
