/**
 * Heat of a drying box: heater with its own mass, air, fixtures (rack, fan, sheet metal), walls; a thermostat that
 * switches with hysteresis behind a slow sensor; a set-point that a timer ends or a person interrupts.
 */
export interface BoxHeatSpec {
  readonly setTemperatureC: number;
  /** What the box's own thermometer is off by: it holds set + this. */
  readonly thermostatOffsetC: number;
  readonly thermostatHysteresisC: number;
  readonly heaterPowerW: number;
  /** What holding takes, about; the thermostat then switches between more and less than this, as duty-cycled heaters do. */
  readonly holdPowerW: number;
  readonly heaterHeatJPerK: number;
  readonly heaterToAirWPerK: number;
  readonly airHeatJPerK: number;
  readonly fixtureHeatJPerK: number;
  readonly airToFixtureWPerK: number;
  readonly airToWallWPerK: number;
  readonly wallHeatJPerK: number;
  readonly wallToRoomWPerK: number;
  /** Heater switched on at this time of the story. */
  readonly heatAtS: number;
  /** Times without heat: pauses, a timer that ran out (toS may be Infinity). */
  readonly heaterOff: readonly { readonly fromS: number; readonly toS: number }[];
}

export interface BoxHeat {
  airC: number;
  /** `leakWPerK`: air exchanged with the room times its heat; `spoolW`: heat the spool takes. */
  step(elapsedS: number, dtS: number, roomC: number, leakWPerK: number, spoolW: number): void;
  readonly heating: boolean;
}

const THERMOSTAT_LAG_S = 15;
const FULL_POWER_BELOW_C = 1.5;
const HOLD_SHARES = { on: 1.35, off: 0.6 } as const;

export function boxHeat(spec: BoxHeatSpec, startC: number): BoxHeat {
  let heaterC = startC;
  let fixtureC = startC;
  let wallC = startC;
  let felt = startC;
  let on = false;

  const powerW = (elapsedS: number): number => {
    const wanted = spec.setTemperatureC + spec.thermostatOffsetC;
    if (felt < wanted - 0.5 * spec.thermostatHysteresisC) on = true;
    else if (felt > wanted + 0.5 * spec.thermostatHysteresisC) on = false;
    if (elapsedS < spec.heatAtS) return 0;
    for (const off of spec.heaterOff) if (elapsedS >= off.fromS && elapsedS < off.toS) return 0;
    if (felt < wanted - 0.5 * spec.thermostatHysteresisC - FULL_POWER_BELOW_C) return spec.heaterPowerW;
    return spec.holdPowerW * (on ? HOLD_SHARES.on : HOLD_SHARES.off);
  };

  const box = {
    airC: startC,
    heating: false,
    step(elapsedS: number, dtS: number, roomC: number, leakWPerK: number, spoolW: number) {
      felt += (box.airC - felt) * (1 - Math.exp(-dtS / THERMOSTAT_LAG_S));
      const power = powerW(elapsedS);
      box.heating = power > 0;
      // Heater, fixtures and wall are each a line in the new air temperature; the air closes the system.
      const heaterStore = spec.heaterHeatJPerK / dtS;
      const heaterSum = heaterStore + spec.heaterToAirWPerK;
      const heater0 = (heaterStore * heaterC + power) / heaterSum;
      const heater1 = spec.heaterToAirWPerK / heaterSum;
      const fixtureStore = spec.fixtureHeatJPerK / dtS;
      const fixtureSum = fixtureStore + spec.airToFixtureWPerK;
      const fixture0 = (fixtureStore * fixtureC) / fixtureSum;
      const fixture1 = spec.airToFixtureWPerK / fixtureSum;
      const wallStore = spec.wallHeatJPerK / dtS;
      const wallSum = wallStore + spec.airToWallWPerK + spec.wallToRoomWPerK;
      const wall0 = (wallStore * wallC + spec.wallToRoomWPerK * roomC) / wallSum;
      const wall1 = spec.airToWallWPerK / wallSum;
      const airStore = spec.airHeatJPerK / dtS;
      const right =
        airStore * box.airC +
        spec.heaterToAirWPerK * heater0 +
        spec.airToFixtureWPerK * fixture0 +
        spec.airToWallWPerK * wall0 +
        leakWPerK * roomC -
        spoolW;
      const left =
        airStore +
        spec.heaterToAirWPerK * (1 - heater1) +
        spec.airToFixtureWPerK * (1 - fixture1) +
        spec.airToWallWPerK * (1 - wall1) +
        leakWPerK;
      box.airC = right / left;
      heaterC = heater0 + heater1 * box.airC;
      fixtureC = fixture0 + fixture1 * box.airC;
      wallC = wall0 + wall1 * box.airC;
    },
  };
  return box;
}
