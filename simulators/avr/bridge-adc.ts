/**
 * A bridge ADC of the HX711 class on two pins of port D: ten conversions a second at gain 128, 24 bits clocked out by
 * the board, switched off where the clock stays high for 60 µs. Figures are the maker's data sheet's (from memory);
 * noise of 50 nV rms is a published figure.
 */
import type { Random } from '../random.ts';
import { type Chip, CLOCK_HZ } from './chip.ts';
import { type Device, faultOf, isAbsent, type Sense } from './device.ts';

const PERIOD_S = 0.1;
const SETTLING_S = 0.4;
const OFF_US = 60;
/** Half the supply over the gain is full scale, ± 2^23. */
const FULL_SCALE_V_PER_V = 0.5 / 128;
const FULL_SCALE_COUNTS = 0x80_0000;
/** The load cell: 1 mV/V at 5 kg, excited with 5 V. */
const CELL_V_PER_V_PER_G = 0.001 / 5000;
const NOISE_V_PER_V = 50e-9 / 5;

export interface BridgeOptions {
  readonly dataPin: number;
  readonly clockPin: number;
  readonly sense: Sense;
  readonly random: Random;
}

export function bridgeAdc(options: BridgeOptions): Device {
  const { dataPin, clockPin, sense, random } = options;
  let counts = 0;

  function convert(): void {
    const reading = sense();
    const fault = faultOf(reading, 'm');
    if (fault === 'stuck') return;
    const bridge = (reading.values['m'] ?? 0) * CELL_V_PER_V_PER_G + random.normal(0, NOISE_V_PER_V);
    const raw = fault === 'range' ? FULL_SCALE_COUNTS : (bridge / FULL_SCALE_V_PER_V) * FULL_SCALE_COUNTS;
    counts = Math.min(FULL_SCALE_COUNTS - 1, Math.max(-FULL_SCALE_COUNTS, Math.round(raw)));
  }

  return {
    attach(chip: Chip) {
      const { portD, cpu } = chip;
      let bit = 0;
      let roseAt = 0;
      let wasHigh = false;
      /** Counts up when it is switched off, so that the conversion under way is forgotten. */
      let spell = 0;
      portD.setPin(dataPin, true);
      const convertIn = (seconds: number): void => {
        const mine = ++spell;
        chip.after(seconds, () => {
          if (mine !== spell) return;
          convertIn(PERIOD_S);
          if (isAbsent(sense(), ['m'])) return portD.setPin(dataPin, true);
          convert();
          bit = 0;
          // Ready is told by falling, also where the last conversion was never fetched.
          portD.setPin(dataPin, true);
          portD.setPin(dataPin, false);
        });
      };
      convertIn(SETTLING_S);
      portD.addListener((pins) => {
        const isHigh = (pins & (1 << clockPin)) !== 0;
        if (isHigh === wasHigh) return;
        wasHigh = isHigh;
        if (isHigh) {
          roseAt = cpu.cycles;
          if (bit < 24) portD.setPin(dataPin, ((counts >> (23 - bit)) & 1) === 1);
          else portD.setPin(dataPin, true);
          bit += 1;
        } else if (((cpu.cycles - roseAt) / CLOCK_HZ) * 1e6 >= OFF_US) {
          portD.setPin(dataPin, true);
          convertIn(SETTLING_S);
        }
      });
    },
  };
}
