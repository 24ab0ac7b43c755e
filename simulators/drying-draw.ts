/**
 * Draws a whole drying run from a seed: polymer, spool, box, room, lids, and what the user would have stated.
 *
 * Each part draws from a stream of its own, so that overriding one thing leaves all others as they were. Overrides
 * replace drawn values; they are never drawn around.
 */
import type { DryingSpec, DryingTruth } from './drying-truth.ts';
import { dryingTruth } from './drying-truth.ts';
import { drawPolymer, equilibriumWtPercent, type PolymerOverrides } from './polymer-draw.ts';
import { type MaterialKey, NOMINAL_POLYMERS } from './polymers.ts';
import { type Random, seededRandom } from './random.ts';
import { drawRoom, type RoomSpec, type RoomTruth } from './room-truth.ts';

export type Stored = 'sealed-new' | 'desiccant' | 'room' | 'damp' | 'unknown';

export interface DryingOverrides {
  readonly polymer?: PolymerOverrides;
  readonly room?: Partial<RoomSpec>;
  /** Storage as the user states it; the true humidity is drawn to fit. Default `unknown`: 5–85 %RH, mostly 15–65. */
  readonly stored?: Stored;
  readonly storageRhPercent?: number;
  /** Share of a 1 kg spool. */
  readonly fill?: number;
  readonly innerRatio?: number;
  readonly ventLPerMin?: number;
  readonly airVolumeL?: number;
  readonly driedSupplyPa?: number | null;
  readonly reel?: 'plastic' | 'cardboard';
  /** g of cardboard. */
  readonly reelMassG?: number;
  /** Openings; `[]` for none. */
  readonly lids?: readonly { fromS: number; toS: number }[];
  readonly heatAtS?: number;
  readonly heaterOff?: readonly { fromS: number; toS: number }[];
  readonly sideOffsetC?: number;
  readonly durationH?: number;
  readonly limitWtPercent?: number;
  readonly shells?: number;
  readonly ringCount?: number;
}

export interface DryingCase extends DryingOverrides {
  readonly material: MaterialKey;
  readonly setTemperatureC: number;
  readonly seed: number;
}

/** What the person at the bench would have typed. */
export interface StatedSpool {
  readonly material: MaterialKey;
  /** Filament as last stated: the truth within 3 %. */
  readonly netMassG: number;
  readonly diameterMm: number;
  readonly reel: 'plastic' | 'cardboard';
  readonly reelMassG: number;
  readonly stored: Stored;
  readonly limitWtPercent: number;
}

export interface DryingRun {
  readonly seed: number;
  readonly spec: DryingSpec;
  readonly truth: DryingTruth;
  readonly stated: StatedSpool;
  readonly durationS: number;
  readonly limitWtPercent: number;
  readonly storageRhPercent: number;
  /** For sensors and anything else that needs chance in this run. */
  readonly random: Random;
}

/** Humidity ranges behind each way of storing, %RH at 23 °C. */
const STORED_RANGES: Readonly<Record<Exclude<Stored, 'unknown'>, readonly [number, number]>> = {
  'sealed-new': [2, 50],
  desiccant: [5, 25],
  room: [20, 65],
  damp: [50, 90],
};

function drawStorage(random: Random, stored: Stored): number {
  if (stored !== 'unknown') return random.uniform(...STORED_RANGES[stored]);
  // Four in five within 15–65, the rest on 5–15 and 65–85 by their widths.
  if (random.chance(0.8)) return random.uniform(15, 65);
  const beyond = random.uniform(0, 30);
  return beyond < 10 ? 5 + beyond : 55 + beyond;
}

function drawLids(random: Random, durationS: number): { fromS: number; toS: number }[] {
  if (!random.chance(0.5)) return [];
  const lids: { fromS: number; toS: number }[] = [];
  const count = 1 + random.below(3);
  for (let i = 0; i < count; i++) {
    const fromS = random.uniform(0.02, 0.8) * durationS;
    lids.push({ fromS, toS: fromS + random.logUniform(20, 360) });
  }
  return lids.sort((a, b) => a.fromS - b.fromS);
}

function drawPorosity(random: Random, shells: number): number[] {
  const mean = random.uniform(0.18, 0.34);
  return Array.from({ length: shells }, () => Math.min(0.45, Math.max(0.1, random.logNormal(mean, 0.15))));
}

export function drawDryingRun(wanted: DryingCase, sharedRoom?: RoomTruth): DryingRun {
  const random = seededRandom(wanted.seed);
  const nominal = NOMINAL_POLYMERS[wanted.material];
  const durationS = 3600 * (wanted.durationH ?? nominal.runHours);
  const polymer = drawPolymer(
    wanted.material,
    wanted.setTemperatureC,
    random.fork('polymer'),
    wanted.polymer,
  );
  const stored = wanted.stored ?? 'unknown';
  const storageRhPercent = wanted.storageRhPercent ?? drawStorage(random.fork('storage'), stored);

  const spool = random.fork('spool');
  const netMassG = 1000 * (wanted.fill ?? spool.uniform(0.35, 1));
  const branch = spool.next();
  const innerRatio = wanted.innerRatio ?? spool.logNormal(1, 0.15);
  const hotShare = spool.uniform(0.3, 0.6);
  const stateError = spool.normal(1, 0.03);
  const startWtPercent = equilibriumWtPercent(polymer, 23, 0.01 * storageRhPercent, branch);
  const winding = {
    dryMassG: netMassG / (1 + 0.01 * startWtPercent),
    polymerDensityKgPerM3: polymer.densityKgPerM3,
    hubRadiusM: spool.uniform(0.04, 0.052),
    widthM: spool.uniform(0.053, 0.064),
    porosity: drawPorosity(random.fork('winding'), wanted.shells ?? 16),
    sideShare: [hotShare, 1 - hotShare] as const,
    diffusionFactor: spool.logNormal(1, 0.3),
    flangeOpenFraction: spool.chance(0.5) ? 0 : spool.uniform(0.02, 0.12),
    bedConductivityWPerMK: spool.logNormal(0.13, 0.2),
    outerHeatWPerM2K: spool.logNormal(14, 0.3),
    flangeHeatWPerM2K: spool.logNormal(5, 0.3),
    hubHeatWPerM2K: spool.uniform(1, 5),
    outerVapourMPerS: spool.logNormal(0.008, 0.35),
  };

  const reelRandom = random.fork('reel');
  const cardboard = reelRandom.chance(1 / 3);
  const kind = wanted.reel ?? (cardboard ? 'cardboard' : 'plastic');
  const plasticG = reelRandom.uniform(150, 260);
  const boardG = reelRandom.uniform(150, 250);
  const reelMassG = wanted.reelMassG ?? (kind === 'plastic' ? plasticG : boardG);
  const paper = {
    dryMassG: reelMassG,
    at50WtPercent: reelRandom.logNormal(7, 0.12),
    coreTimeS: reelRandom.logUniform(2400, 9000),
    airM3PerS: reelRandom.logNormal(1.8e-4, 0.4),
    storedActivity: 0.01 * storageRhPercent,
  };
  const reel = kind === 'plastic' ? null : paper;

  const room = drawRoom(random.fork('room-spec'), wanted.room);
  const box = random.fork('box');
  const airVolumeL = wanted.airVolumeL ?? Math.min(25, Math.max(5, box.logNormal(12, 0.35)));
  const ventLPerMin = wanted.ventLPerMin ?? box.logUniform(0.6, 6);
  const areaM2 = 7 * (airVolumeL / 1000) ** (2 / 3);
  const inside = box.uniform(12, 20) * areaM2;
  const outside = box.uniform(4, 8) * areaM2;
  const holdW = (wanted.setTemperatureC - 20) / (1 / inside + 1 / outside);
  const heat = {
    setTemperatureC: wanted.setTemperatureC,
    thermostatOffsetC: box.normal(0, 1),
    thermostatHysteresisC: box.uniform(0.4, 1.6),
    heaterPowerW: holdW * box.uniform(1.6, 2.4) + 40,
    holdPowerW: holdW * box.uniform(0.95, 1.1) + 5,
    heaterHeatJPerK: box.uniform(40, 100),
    heaterToAirWPerK: box.uniform(1.5, 3),
    airHeatJPerK: 1.1 * airVolumeL + box.uniform(15, 40),
    fixtureHeatJPerK: box.uniform(150, 400),
    airToFixtureWPerK: box.uniform(4, 8),
    airToWallWPerK: inside,
    wallHeatJPerK: 4500 * areaM2,
    wallToRoomWPerK: outside,
    heatAtS: wanted.heatAtS ?? 600,
    heaterOff: wanted.heaterOff ?? [],
  };
  const lids = wanted.lids ?? drawLids(random.fork('lids'), durationS);
  const sideOffsetC = wanted.sideOffsetC ?? box.uniform(0, 3.5);
  const lidMixS = box.uniform(2, 6);

  const spec: DryingSpec = {
    polymer,
    winding,
    filamentRadiusM: 0.875e-3,
    ringCount: wanted.ringCount ?? 10,
    heat,
    room,
    reel,
    reelMassG,
    airVolumeL,
    ventLPerMin,
    driedSupplyPa: wanted.driedSupplyPa ?? null,
    lids,
    lidMixS,
    sideOffsetC,
    startWtPercent,
    innerRatio,
    startBranch: branch,
  };
  const limitWtPercent = wanted.limitWtPercent ?? nominal.limitWtPercent;
  return {
    seed: wanted.seed,
    spec,
    truth: dryingTruth(spec, random.fork('truth'), sharedRoom),
    stated: {
      material: wanted.material,
      netMassG: netMassG * stateError,
      diameterMm: 1.75,
      reel: kind,
      reelMassG,
      stored,
      limitWtPercent,
    },
    durationS,
    limitWtPercent,
    storageRhPercent,
    random: random.fork('sensors'),
  };
}
