/** The I2C bus: hands the board's transfers to whichever slave has the address, in the time they take at 9 bits a byte. */
import { type TWIEventHandler, twiConfig } from 'avr8js';
import { type Chip, CLOCK_HZ } from './chip.ts';
import type { Device } from './device.ts';

/** The bit that switches the interface on. */
const TWEN = 0x04;

export interface I2cSlave {
  readonly address: number;
  /** Addressed for writing or reading; false is no acknowledge. */
  connect(toWrite: boolean): boolean;
  write(byte: number): boolean;
  read(): number;
  /** The transfer ended, by a stop or by the next start. */
  stop(): void;
  power(): void;
}

export function i2cBus(slaves: readonly I2cSlave[]): Device & { hang(hangs: boolean): void } {
  let hanging = false;
  const handlerFor = (chip: Chip): TWIEventHandler => {
    const { twi, cpu } = chip;
    let talking: I2cSlave | undefined;
    const inBits = (bits: number, call: () => void): void => {
      // Something holds the clock low: no transfer ever ends.
      if (!hanging) cpu.addClockEvent(call, Math.round((bits * CLOCK_HZ) / twi.sclFrequency));
    };
    const release = (): void => {
      talking?.stop();
      talking = undefined;
    };
    return {
      start() {
        release();
        inBits(1, () => twi.completeStart());
      },
      stop() {
        release();
        inBits(1, () => twi.completeStop());
      },
      connectToSlave(address, toWrite) {
        const slave = slaves.find((one) => one.address === address);
        const acknowledged = slave?.connect(toWrite) ?? false;
        talking = acknowledged ? slave : undefined;
        inBits(9, () => twi.completeConnect(acknowledged));
      },
      writeByte(byte) {
        const acknowledged = talking?.write(byte) ?? false;
        inBits(9, () => twi.completeWrite(acknowledged));
      },
      readByte() {
        // A bus that nobody drives is pulled high.
        const byte = talking?.read() ?? 0xff;
        inBits(9, () => twi.completeRead(byte));
      },
    };
  };
  return {
    attach(chip, powered) {
      if (powered) for (const slave of slaves) slave.power();
      const { cpu, twi } = chip;
      twi.eventHandler = handlerFor(chip);
      // Switching the interface off ends a transfer that hangs; avr8js would wait for it for ever.
      const control = cpu.writeHooks[twiConfig.TWCR];
      cpu.writeHooks[twiConfig.TWCR] = (value, before, address, mask) => {
        if ((value & TWEN) === 0) twi.completeStop();
        return control?.(value, before, address, mask);
      };
    },
    hang(hangs) {
      hanging = hangs;
    },
  };
}
