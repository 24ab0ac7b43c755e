/**
 * The air of a room: a day's swing, slow wandering (Ornstein–Uhlenbeck) and steps of the weather or of a window.
 * Temperature and vapour pressure move apart from one another; relative humidity follows from both.
 *
 * Randomness falls on whole minutes of the room's own time, so that the story does not depend on the caller's step.
 */
import { saturationPressurePa } from '../server/physics/saturation.ts';
import type { Random } from './random.ts';

export interface RoomSpec {
  readonly meanTemperatureC: number;
  readonly meanRhPercent: number;
  readonly dailySwingC: number;
  /** Hour of the story at which the swing is at its top. */
  readonly warmestAtH: number;
  readonly wanderC: number;
  readonly wanderLnVapour: number;
  /** Mean time between steps of the outdoor air, h. */
  readonly weatherEveryH: number;
  readonly weatherLnVapour: number;
}

export interface RoomTruth {
  /** To a time of the story. Going back within the last minute is fine: several truths may share a room. */
  moveTo(elapsedS: number): void;
  readonly temperatureC: number;
  readonly vapourPressurePa: number;
  readonly rhPercent: number;
}

const TICK_S = 60;
const WANDER_C_S = 2 * 3600;
const WANDER_VAPOUR_S = 5 * 3600;
/** A room takes about half an hour to follow the air outside (a door or window ajar; judgement). */
const MIX_S = 1800;
/** Living rooms and workshops; beyond, people open a window. */
const RH_RANGE = [12, 88] as const;

export function drawRoom(random: Random, given: Partial<RoomSpec> = {}): RoomSpec {
  const drawn: RoomSpec = {
    meanTemperatureC: random.uniform(18, 28),
    meanRhPercent: random.uniform(30, 65),
    dailySwingC: random.uniform(0.3, 2),
    warmestAtH: random.uniform(0, 24),
    wanderC: random.uniform(0.1, 0.5),
    wanderLnVapour: random.uniform(0.03, 0.08),
    weatherEveryH: 18,
    weatherLnVapour: 0.1,
  };
  return { ...drawn, ...given };
}

export function roomTruth(spec: RoomSpec, random: Random): RoomTruth {
  const meanVapourPa = saturationPressurePa(spec.meanTemperatureC) * spec.meanRhPercent * 0.01;
  let wanderC = random.normal(0, spec.wanderC);
  let wanderLn = random.normal(0, spec.wanderLnVapour);
  let outdoorLn = 0;
  let weatherLn = 0;
  let ticks = -1;
  let nextWeatherS = random.exponential(spec.weatherEveryH * 3600);
  const keepC = Math.exp(-TICK_S / WANDER_C_S);
  const keepVapour = Math.exp(-TICK_S / WANDER_VAPOUR_S);
  let from = { c: 0, pa: 0 };
  let to = { c: 0, pa: 0 };

  const tick = (): void => {
    ticks++;
    const atS = ticks * TICK_S;
    wanderC = keepC * wanderC + random.normal(0, spec.wanderC * Math.sqrt(1 - keepC * keepC));
    wanderLn =
      keepVapour * wanderLn + random.normal(0, spec.wanderLnVapour * Math.sqrt(1 - keepVapour * keepVapour));
    if (atS >= nextWeatherS) {
      outdoorLn = 0.5 * outdoorLn + random.normal(0, spec.weatherLnVapour);
      nextWeatherS += random.exponential(spec.weatherEveryH * 3600);
    }
    weatherLn += (outdoorLn - weatherLn) * (1 - Math.exp(-TICK_S / MIX_S));
    const day = Math.cos((2 * Math.PI * (atS / 3600 - spec.warmestAtH)) / 24);
    const c = spec.meanTemperatureC + spec.dailySwingC * day + wanderC;
    const saturation = saturationPressurePa(c);
    const wanted = meanVapourPa * Math.exp(wanderLn + weatherLn);
    const pa = Math.min(0.01 * RH_RANGE[1] * saturation, Math.max(0.01 * RH_RANGE[0] * saturation, wanted));
    from = to;
    to = { c, pa };
  };
  tick();
  from = to;
  tick();

  const room = {
    temperatureC: from.c,
    vapourPressurePa: from.pa,
    rhPercent: (100 * from.pa) / saturationPressurePa(from.c),
    moveTo(elapsedS: number) {
      while (elapsedS > ticks * TICK_S) tick();
      const share = Math.max(0, 1 - (ticks * TICK_S - elapsedS) / TICK_S);
      room.temperatureC = from.c + share * (to.c - from.c);
      room.vapourPressurePa = from.pa + share * (to.pa - from.pa);
      room.rhPercent = (100 * room.vapourPressurePa) / saturationPressurePa(room.temperatureC);
    },
  };
  return room;
}
