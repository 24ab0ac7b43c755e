/**
 * A printer in an enclosure: the truth that soak estimates are judged by.
 *
 * How it differs from the estimators' model (three slow nodes beside quasi-steady air, joined by it alone): ten
 * nodes (bed, air, panels in and out, light frame, heavy frame, floor, part, electronics bay, room); convection that grows
 * with the fourth root of the temperature difference; radiation from bed to panels; a bed with limited power that
 * ripples; a room that wanders; doors, fans and switching off at their times.
 *
 * Letters: G conductance W/K, C heat J/K.
 */
import { saturationPressurePa } from '../server/physics/saturation.ts';
import { type HeatNetwork, heatNetwork } from './heat-network.ts';
import type { Random } from './random.ts';
import { type RoomSpec, type RoomTruth, roomTruth } from './room-truth.ts';

const NODES = [
  'bed',
  'air',
  'panelIn',
  'panelOut',
  'light',
  'heavy',
  'floor',
  'part',
  'bay',
  'room',
] as const;
type Node = (typeof NODES)[number];
const at = (node: Node): number => NODES.indexOf(node);
const [BED, AIR, PANEL_IN, PANEL_OUT, LIGHT, HEAVY, FLOOR, PART, BAY, ROOM] = NODES.map(at) as [
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
];

export interface ChamberSpec {
  readonly heatJPerK: Readonly<Record<Exclude<Node, 'room'>, number>>;
  readonly bedToAirWPerK: number;
  readonly bedToPartWPerK: number;
  readonly bedToFrameWPerK: number;
  readonly partToAirWPerK: number;
  /** Bed surface that sees the panels, emissivity included, m². */
  readonly bedRadiatingM2: number;
  readonly airToPanelWPerK: number;
  readonly panelThroughWPerK: number;
  readonly panelToRoomWPerK: number;
  readonly airToLightWPerK: number;
  readonly airToHeavyWPerK: number;
  readonly heavyToFloorWPerK: number;
  readonly airToFloorWPerK: number;
  readonly floorToBayWPerK: number;
  readonly floorToRoomWPerK: number;
  readonly bayToRoomWPerK: number;
  readonly bayPowerW: number;
  readonly leakWPerK: number;
  readonly doorWPerK: number;
  readonly airVolumeL: number;
  readonly bedPowerW: number;
  readonly bedTargetC: number;
  readonly bedRippleC: number;
  readonly bedRippleS: number;
  readonly bedOnS: number;
  /** Infinity: stays on. */
  readonly bedOffS: number;
  readonly doors: readonly { readonly fromS: number; readonly toS: number }[];
  /** An exhaust fan: adds this leak from then on. */
  readonly fan: { readonly atS: number; readonly addsWPerK: number } | null;
  readonly room: RoomSpec;
}

export interface ChamberTruth {
  step(dtS: number): void;
  readonly elapsedS: number;
  readonly airC: number;
  readonly airRhPercent: number;
  readonly bedC: number;
  readonly partC: number;
  readonly panelC: number;
  /** The slowest metal inside. */
  readonly frameC: number;
  readonly bayC: number;
  readonly bayRhPercent: number;
  readonly doorOpen: boolean;
  readonly room: RoomTruth;
  /** Where all this ends if bed, fan and room stay as they are now and no door opens: found by running on. */
  final(): { readonly airC: number; readonly frameC: number };
}

const LONGEST_STEP_S = 10;
/** Conductances by natural convection are stated for this difference. */
const STATED_AT_K = 25;
const RUN_ON_S = 48 * 3600;
const STEFAN_BOLTZMANN = 5.670374e-8;
const AIR_HEAT_J_PER_M3_K = 1150;

/** `sharedRoom`: the room of a whole bench; else the spec's own. */
export function chamberTruth(spec: ChamberSpec, random: Random, sharedRoom?: RoomTruth): ChamberTruth {
  const room = sharedRoom ?? roomTruth(spec.room, random.fork('room'));
  const heats = NODES.map((node) => (node === 'room' ? Number.POSITIVE_INFINITY : spec.heatJPerK[node]));
  const network = heatNetwork(
    heats,
    NODES.map(() => room.temperatureC),
  );
  network.powerW[BAY] = spec.bayPowerW;
  let elapsedS = 0;
  let vapourPa = room.vapourPressurePa;
  let doorShare = 0;

  const leak = (): number =>
    spec.leakWPerK + (spec.fan !== null && elapsedS >= spec.fan.atS ? spec.fan.addsWPerK : 0);
  const bedWantedC = (): number | null => {
    if (elapsedS < spec.bedOnS || elapsedS >= spec.bedOffS) return null;
    return spec.bedTargetC + spec.bedRippleC * Math.sin((2 * Math.PI * elapsedS) / spec.bedRippleS);
  };

  const substep = (dtS: number): void => {
    room.moveTo(elapsedS + dtS);
    network.temperatureC[ROOM] = room.temperatureC;
    let open = 0;
    for (const door of spec.doors)
      open += Math.max(0, Math.min(elapsedS + dtS, door.toS) - Math.max(elapsedS, door.fromS));
    doorShare = open / dtS;
    const outwards = leak() + spec.doorWPerK * doorShare;
    advance(network, spec, bedWantedC(), outwards, dtS);
    const changesPerS = outwards / (AIR_HEAT_J_PER_M3_K * spec.airVolumeL * 0.001);
    vapourPa += (room.vapourPressurePa - vapourPa) * (1 - Math.exp(-changesPerS * dtS));
    elapsedS += dtS;
  };

  const temperature = (node: number): number => network.temperatureC[node]!;
  return {
    step(dtS) {
      const endS = elapsedS + dtS;
      const count = Math.max(1, Math.ceil(dtS / LONGEST_STEP_S - 1e-9));
      for (let i = 0; i < count; i++) substep(dtS / count);
      elapsedS = endS;
    },
    room,
    get elapsedS() {
      return elapsedS;
    },
    get airC() {
      return temperature(AIR);
    },
    get airRhPercent() {
      return (100 * vapourPa) / saturationPressurePa(temperature(AIR));
    },
    get bedC() {
      return temperature(BED);
    },
    get partC() {
      return temperature(PART);
    },
    get panelC() {
      return temperature(PANEL_IN);
    },
    get frameC() {
      return temperature(HEAVY);
    },
    get bayC() {
      return temperature(BAY);
    },
    get bayRhPercent() {
      return (100 * room.vapourPressurePa) / saturationPressurePa(temperature(BAY));
    },
    get doorOpen() {
      return doorShare > 0;
    },
    final() {
      const ahead = heatNetwork(heats, Array.from(network.temperatureC));
      ahead.powerW[BAY] = spec.bayPowerW;
      const wanted = bedWantedC() === null ? null : spec.bedTargetC;
      for (let s = 0; s < RUN_ON_S; s += 300) advance(ahead, spec, wanted, leak(), 300);
      return { airC: ahead.temperatureC[AIR]!, frameC: ahead.temperatureC[HEAVY]! };
    },
  };
}

/** One step of the network: conductances at the present temperatures, then the bed by power or, once there, by hold. */
function advance(
  network: HeatNetwork,
  spec: ChamberSpec,
  bedWantedC: number | null,
  leakWPerK: number,
  dtS: number,
): void {
  const T = network.temperatureC;
  const convect = (i: number, j: number, statedWPerK: number): void =>
    network.join(i, j, statedWPerK * Math.max(0.5, (Math.abs(T[i]! - T[j]!) / STATED_AT_K) ** 0.25));
  convect(BED, AIR, spec.bedToAirWPerK);
  convect(AIR, PANEL_IN, spec.airToPanelWPerK);
  convect(PANEL_OUT, ROOM, spec.panelToRoomWPerK);
  convect(AIR, LIGHT, spec.airToLightWPerK);
  convect(AIR, HEAVY, spec.airToHeavyWPerK);
  convect(AIR, FLOOR, spec.airToFloorWPerK);
  convect(PART, AIR, spec.partToAirWPerK);
  // Radiation between bed and panels as a conductance at the mean temperature: 4σT³·A.
  const meanK = 0.5 * (T[BED]! + T[PANEL_IN]!) + 273.15;
  network.join(BED, PANEL_IN, 4 * STEFAN_BOLTZMANN * meanK ** 3 * spec.bedRadiatingM2);
  network.join(BED, PART, spec.bedToPartWPerK);
  network.join(BED, HEAVY, spec.bedToFrameWPerK);
  network.join(PANEL_IN, PANEL_OUT, spec.panelThroughWPerK);
  network.join(HEAVY, FLOOR, spec.heavyToFloorWPerK);
  network.join(FLOOR, BAY, spec.floorToBayWPerK);
  network.join(FLOOR, ROOM, spec.floorToRoomWPerK);
  network.join(BAY, ROOM, spec.bayToRoomWPerK);
  network.join(AIR, ROOM, leakWPerK);

  const bedBefore = T[BED]!;
  const powered = bedWantedC !== null;
  network.held[BED] = 0;
  network.powerW[BED] = 0;
  if (powered && bedBefore >= bedWantedC - 2) {
    // Within the controller's reach: it follows its target, at its own pace.
    T[BED] = bedBefore + (bedWantedC - bedBefore) * Math.min(1, dtS / 30);
    network.held[BED] = 1;
  } else if (powered) network.powerW[BED] = spec.bedPowerW;
  network.step(dtS);
  if (powered && T[BED]! > bedWantedC) T[BED] = bedWantedC;
}
