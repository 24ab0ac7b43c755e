/** Draws an enclosure and a heat-up from a seed. Values are those of home-built enclosures of 50–120 L (judgement). */
import { type ChamberSpec, type ChamberTruth, chamberTruth } from './chamber-truth.ts';
import { type Random, seededRandom } from './random.ts';
import { drawRoom, type RoomSpec, type RoomTruth } from './room-truth.ts';

export interface ChamberCase {
  readonly seed: number;
  readonly bedTargetC?: number;
  readonly bedOnS?: number;
  readonly bedOffS?: number;
  readonly doors?: readonly { readonly fromS: number; readonly toS: number }[];
  readonly fan?: { readonly atS: number; readonly addsWPerK: number } | null;
  readonly room?: Partial<RoomSpec>;
  /** Foam behind the panels: warmer, slower. */
  readonly insulated?: boolean;
}

export interface ChamberRun {
  readonly seed: number;
  readonly spec: ChamberSpec;
  readonly truth: ChamberTruth;
  readonly random: Random;
}

export function drawChamberSpec(wanted: ChamberCase): ChamberSpec {
  const random = seededRandom(wanted.seed).fork('chamber');
  const about = (median: number, spread = 0.3): number => random.logNormal(median, spread);
  const insulatedDrawn = random.chance(0.5);
  const insulated = wanted.insulated ?? insulatedDrawn;
  const room = { ...drawRoom(random.fork('room'), { wanderLnVapour: 0.04 }), ...wanted.room };
  const bedTargetDrawn = random.uniform(90, 112);
  return {
    heatJPerK: {
      bed: about(900),
      air: about(120, 0.2),
      panelIn: about(3500),
      panelOut: about(4000),
      light: about(2500),
      heavy: about(9000, 0.35),
      floor: about(7000, 0.35),
      part: about(150, 0.5),
      bay: about(1500),
    },
    bedToAirWPerK: about(1.5),
    bedToPartWPerK: about(0.25),
    bedToFrameWPerK: about(0.08),
    partToAirWPerK: about(0.12),
    bedRadiatingM2: about(0.045, 0.2),
    airToPanelWPerK: about(7),
    panelThroughWPerK: insulated ? about(5) : about(60),
    panelToRoomWPerK: about(11),
    airToLightWPerK: about(4),
    airToHeavyWPerK: about(2, 0.35),
    heavyToFloorWPerK: about(0.8, 0.35),
    airToFloorWPerK: about(1, 0.35),
    floorToBayWPerK: about(0.4),
    floorToRoomWPerK: about(0.6),
    bayToRoomWPerK: about(1.2),
    bayPowerW: random.uniform(8, 16),
    leakWPerK: about(0.4, 0.4),
    doorWPerK: about(25, 0.3),
    airVolumeL: random.uniform(50, 120),
    bedPowerW: about(260, 0.2),
    bedTargetC: wanted.bedTargetC ?? bedTargetDrawn,
    bedRippleC: random.uniform(0.3, 1.5),
    bedRippleS: random.uniform(50, 140),
    bedOnS: wanted.bedOnS ?? 600,
    bedOffS: wanted.bedOffS ?? Number.POSITIVE_INFINITY,
    doors: wanted.doors ?? [],
    fan: wanted.fan ?? null,
    room,
  };
}

export function drawChamberRun(wanted: ChamberCase, sharedRoom?: RoomTruth): ChamberRun {
  const spec = drawChamberSpec(wanted);
  const random = seededRandom(wanted.seed);
  return {
    seed: wanted.seed,
    spec,
    truth: chamberTruth(spec, random.fork('truth'), sharedRoom),
    random: random.fork('sensors'),
  };
}

/**
 * When this chamber is truly steady: the first time after which the air stays within `bandC` of where it ends, over
 * `hours`. Null: not within them. Made from a fresh run, so the caller's own is not moved.
 */
export function steadyTruth(
  wanted: ChamberCase,
  bandC: number,
  hours: number,
): { readonly finalAirC: number; readonly steadyAtS: number | null } {
  const { truth, spec } = drawChamberRun(wanted);
  const stopS = Math.min(hours * 3600, spec.bedOffS - 1);
  const series: { s: number; c: number }[] = [];
  while (truth.elapsedS < stopS) {
    truth.step(60);
    series.push({ s: truth.elapsedS, c: truth.airC });
  }
  const finalAirC = truth.final().airC;
  let steadyAtS: number | null = null;
  for (let i = series.length - 1; i >= 0; i--) {
    if (Math.abs(series[i]!.c - finalAirC) > bandC) break;
    steadyAtS = series[i]!.s;
  }
  return { finalAirC, steadyAtS };
}

export const CHAMBER_KINDS = ['plain', 'doors', 'fan', 'off'] as const;
export type ChamberKind = (typeof CHAMBER_KINDS)[number];

/** A case of a study: what is done to the chamber while it warms up, drawn from the seed. */
export function chamberCase(seed: number, kind: ChamberKind): ChamberCase {
  const random = seededRandom(seed).fork(`chamber-${kind}`);
  if (kind === 'doors') {
    const doors = Array.from({ length: 1 + random.below(3) }, () => {
      const fromS = random.uniform(1800, 12_000);
      return { fromS, toS: fromS + random.logUniform(30, 240) };
    });
    return { seed, doors: doors.sort((a, b) => a.fromS - b.fromS) };
  }
  if (kind === 'fan')
    return { seed, fan: { atS: random.uniform(3600, 7200), addsWPerK: random.uniform(0.4, 1.5) } };
  if (kind === 'off') return { seed, bedOffS: 600 + random.uniform(3000, 9000) };
  return { seed };
}
