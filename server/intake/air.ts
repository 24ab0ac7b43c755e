/** From a minute's means to the air record: what they say, and how little of it is sure. */
import { moistAir } from '../physics/psychrometrics.ts';
import { dewPointBand, type Tolerance, vapourDensityBandGPerM3 } from '../physics/tolerance.ts';
import type { AirRecord } from '../records.ts';

export type AirFacts = Omit<AirRecord, 'at' | 'kind' | 'station'>;

/**
 * A negative humidity (a sensor's offset in very dry air) stays as it is; what would follow from it is null, and the
 * bands say what its tolerance still allows.
 */
export function airFacts(
  means: { readonly airTemperatureC: number; readonly relativeHumidityPercent: number | null },
  tolerance: Tolerance,
  pressurePa: number,
): AirFacts {
  const { airTemperatureC, relativeHumidityPercent } = means;
  if (relativeHumidityPercent === null)
    return {
      airTemperatureC,
      relativeHumidityPercent,
      dewPointC: null,
      dewPointBand: null,
      frostPointC: null,
      vapourDensityGPerM3: null,
      vapourDensityBandGPerM3: null,
    };
  const air = moistAir(airTemperatureC, relativeHumidityPercent, pressurePa);
  return {
    airTemperatureC,
    relativeHumidityPercent,
    dewPointC: air?.dewPointC ?? null,
    dewPointBand: dewPointBand(airTemperatureC, relativeHumidityPercent, tolerance),
    frostPointC: air?.frostPointC ?? null,
    vapourDensityGPerM3: air?.vapourDensityGPerM3 ?? null,
    vapourDensityBandGPerM3: vapourDensityBandGPerM3(airTemperatureC, relativeHumidityPercent, tolerance),
  };
}

/** Only the record's own fields, in the record's order: replays are compared to the byte. */
export function recordFacts(facts: AirFacts): AirFacts {
  return {
    airTemperatureC: facts.airTemperatureC,
    relativeHumidityPercent: facts.relativeHumidityPercent,
    dewPointC: facts.dewPointC,
    dewPointBand: facts.dewPointBand,
    frostPointC: facts.frostPointC,
    vapourDensityGPerM3: facts.vapourDensityGPerM3,
    vapourDensityBandGPerM3: facts.vapourDensityBandGPerM3,
  };
}
