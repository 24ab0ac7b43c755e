/**
 * A DS18B20 on a pin of port D: the 1-Wire bus bit by bit, by the length of the low pulses, and the scratchpad with its
 * checksum. Times and memory map are the maker's data sheet's (from memory); the checksum's example is in the tests.
 */
import { PinState } from 'avr8js';
import { type Chip, CLOCK_HZ } from './chip.ts';
import { type Device, faultOf, isAbsent, type Sense } from './device.ts';

/** A low pulse this long is a reset; up to 15 µs a one or a read slot; between them a nought. */
const RESET_US = 480;
const ONE_US = 15;
const PRESENCE = { afterUs: 30, lengthUs: 120 } as const;
/** How long a nought is held in a read slot. */
const NOUGHT_US = 30;
const CONVERT_S = 0.75;
/** 85 °C, which is what the scratchpad holds after power-on. */
const POWER_ON_WORD = 0x0550;

export function crc8OneWire(bytes: readonly number[]): number {
  let crc = 0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0x8c : crc >> 1;
  }
  return crc;
}

export interface ProbeOptions {
  readonly pin: number;
  readonly key: string;
  readonly sense: Sense;
  readonly nowS: () => number;
}

export interface TemperatureProbe extends Device {
  /** Its supply goes away and comes back, the board's does not. */
  power(): void;
}

export function temperatureProbe(options: ProbeOptions): TemperatureProbe {
  const { pin, key, sense, nowS } = options;
  let temperature = POWER_ON_WORD;
  // Alarm bytes and configuration: as they leave the factory.
  let settings = [0x4b, 0x46, 0x7f];
  let convertedS = Number.NEGATIVE_INFINITY;
  /** What the next bits are: a ROM command, a function command, settings, or nothing for us. */
  let expects: 'rom' | 'function' | 'settings' | 'nothing' = 'nothing';
  let heard: number[] = [];
  let bits = 0;
  let byte = 0;
  let toSay: number[] = [];
  let busySlots = false;

  function power(): void {
    temperature = POWER_ON_WORD;
    settings = [0x4b, 0x46, 0x7f];
    convertedS = Number.NEGATIVE_INFINITY;
    expects = 'nothing';
    toSay = [];
    busySlots = false;
  }

  const sayBytes = (bytes: readonly number[]): void => {
    toSay = bytes.flatMap((one) => Array.from({ length: 8 }, (_, i) => (one >> i) & 1));
  };

  function convert(): void {
    const reading = sense();
    const fault = faultOf(reading, key);
    const celsius = fault === 'range' ? 255 : reading.values[key];
    if (celsius !== undefined) temperature = Math.round(celsius * 16) & 0xffff;
    convertedS = fault === 'stuck' ? Number.POSITIVE_INFINITY : nowS() + CONVERT_S;
    busySlots = true;
  }

  function sayScratchpad(): void {
    const bytes = [temperature & 0xff, temperature >> 8, ...settings, 0xff, 0x0c, 0x10];
    const damage = faultOf(sense(), key) === 'crc' ? 0x01 : 0;
    sayBytes([...bytes, crc8OneWire(bytes) ^ damage]);
  }

  function takeByte(value: number): void {
    if (expects === 'rom') expects = value === 0xcc ? 'function' : 'nothing';
    else if (expects === 'settings') {
      heard.push(value);
      if (heard.length === 3) {
        settings = heard;
        expects = 'nothing';
      }
    } else if (expects === 'function') {
      expects = 'nothing';
      if (value === 0x4e) {
        heard = [];
        expects = 'settings';
      } else if (value === 0x44) convert();
      else if (value === 0xbe) sayScratchpad();
    }
  }

  function takeBit(bit: number): void {
    byte |= bit << bits;
    bits += 1;
    if (bits < 8) return;
    const value = byte;
    byte = 0;
    bits = 0;
    takeByte(value);
  }

  return {
    power,
    attach(chip: Chip, powered: boolean) {
      if (powered) power();
      const { portD, cpu } = chip;
      let fellAt = 0;
      let wasLow = false;
      portD.setPin(pin, true);
      const holdLow = (afterUs: number, lengthUs: number): void => {
        const letGo = (): void => portD.setPin(pin, true);
        const pull = (): void => {
          portD.setPin(pin, false);
          chip.after(lengthUs * 1e-6, letGo);
        };
        if (afterUs > 0) chip.after(afterUs * 1e-6, pull);
        else pull();
      };
      const fall = (): void => {
        fellAt = cpu.cycles;
        const bit = toSay.length > 0 ? toSay.shift() : busySlots && nowS() < convertedS ? 0 : 1;
        if (bit === 0) holdLow(0, NOUGHT_US);
      };
      const rise = (): void => {
        const us = ((cpu.cycles - fellAt) / CLOCK_HZ) * 1e6;
        if (us >= RESET_US) {
          expects = 'rom';
          bits = 0;
          byte = 0;
          toSay = [];
          busySlots = false;
          holdLow(PRESENCE.afterUs, PRESENCE.lengthUs);
        } else if (toSay.length === 0 && !busySlots) takeBit(us <= ONE_US ? 1 : 0);
      };
      portD.addListener(() => {
        const isLow = portD.pinState(pin) === PinState.Low;
        if (isLow === wasLow) return;
        wasLow = isLow;
        if (isAbsent(sense(), [key])) {
          // A probe that was pulled off comes back without its memory.
          power();
          return;
        }
        if (isLow) fall();
        else rise();
      });
    },
  };
}
