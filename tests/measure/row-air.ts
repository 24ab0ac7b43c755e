/** Saturation pressure, dew point and humidity ratio, against psychrolib on the same inputs. */
import psychrolib from 'psychrolib';
import { humidityRatioKgPerKg } from '../../server/physics/psychrometrics.ts';
import {
  frostPointC,
  saturationPressurePa,
  saturationTemperatureC,
  TRIPLE_POINT_PA,
} from '../../server/physics/saturation.ts';
import { createRandom } from '../random.ts';
import type { Measured } from './rounds.ts';
import { type Compared, compare } from './rounds.ts';

const INPUTS = 32_768;
const random = createRandom(5);
const T = Float64Array.from({ length: INPUTS }, () => 95 * random());
const RH = Float64Array.from({ length: INPUTS }, () => 1 + 94 * random());
let sink = 0;

// Each loop is written out: a shared one with the call handed in would measure the handing in.
const LOOPS = {
  'saturation pressure': {
    aim: 4,
    ours() {
      let sum = 0;
      for (let i = 0; i < INPUTS; i++) sum += saturationPressurePa(T[i] as number);
      sink += sum;
      return INPUTS;
    },
    theirs() {
      let sum = 0;
      for (let i = 0; i < INPUTS; i++) sum += psychrolib.GetSatVapPres(T[i] as number);
      sink += sum;
      return INPUTS;
    },
  },
  // As psychrolib answers it: over ice where there is ice.
  'dew or frost point': {
    aim: 12,
    ours() {
      let sum = 0;
      for (let i = 0; i < INPUTS; i++) {
        const vapour = saturationPressurePa(T[i] as number) * (RH[i] as number) * 0.01;
        sum += vapour < TRIPLE_POINT_PA ? frostPointC(vapour) : saturationTemperatureC(vapour);
      }
      sink += sum;
      return INPUTS;
    },
    theirs() {
      let sum = 0;
      for (let i = 0; i < INPUTS; i++)
        sum += psychrolib.GetTDewPointFromRelHum(T[i] as number, (RH[i] as number) / 100);
      sink += sum;
      return INPUTS;
    },
  },
  'humidity ratio': {
    aim: 4,
    ours() {
      let sum = 0;
      for (let i = 0; i < INPUTS; i++)
        sum += humidityRatioKgPerKg(saturationPressurePa(T[i] as number) * (RH[i] as number) * 0.01);
      sink += sum;
      return INPUTS;
    },
    theirs() {
      let sum = 0;
      for (let i = 0; i < INPUTS; i++)
        sum += psychrolib.GetHumRatioFromRelHum(T[i] as number, (RH[i] as number) / 100, 101_325);
      sink += sum;
      return INPUTS;
    },
  },
};

/** One pass takes under a millisecond; a round must be long beside the clock's own grain. */
const PASSES = 20;
const passes =
  (loop: () => number): (() => number) =>
  () => {
    let done = 0;
    for (let i = 0; i < PASSES; i++) done += loop();
    return done;
  };

export async function measureAir(): Promise<readonly Measured[]> {
  psychrolib.SetUnitSystem(psychrolib.SI);
  const results: Measured[] = [];
  for (const [name, { ours, theirs, aim }] of Object.entries(LOOPS)) {
    const compared: Compared = await compare(passes(ours), passes(theirs));
    results.push({
      name,
      value: compared.ours,
      unit: 'calls/s',
      yardstick: 'psychrolib',
      ratio: compared.ratio,
      aim: `≥ ${aim}`,
      met: compared.ratio >= aim,
    });
  }
  if (Number.isNaN(sink)) throw new Error('an input had no answer');
  return results;
}
