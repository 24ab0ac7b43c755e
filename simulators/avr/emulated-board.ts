/**
 * The reference board with its real firmware: the built program on an emulated ATmega328P, and emulated sensors that
 * sense what a function says of each station. Stepped in virtual time like a simulated board: `advance(ms)` gives the
 * bytes that its UART sent meanwhile.
 *
 * A key that the function leaves out was never fitted; a fault is shown in the sensor's own way (not answering, a wrong
 * checksum, a word that means nothing, a word that does not move), and it is for the firmware to name it.
 */
import { EEPROMMemoryBackend } from 'avr8js';
import type { ReadStation } from '../board.ts';
import type { Random } from '../random.ts';
import { type AirFamily, airSensorSlave } from './air-sensor.ts';
import { bridgeAdc } from './bridge-adc.ts';
import { type Chip, CLOCK_HZ, type ResetCause, SRAM_BYTES, SRAM_START, startChip } from './chip.ts';
import type { Device } from './device.ts';
import { type FirmwareImage, functionAt, variableAt } from './firmware-image.ts';
import { i2cBus } from './i2c-bus.ts';
import { temperatureProbe } from './temperature-probe.ts';

export interface EmulatedBoardOptions {
  readonly image: FirmwareImage;
  readonly read: ReadStation;
  readonly random: Random;
  readonly families?: { readonly box: AirFamily; readonly room: AirFamily };
  readonly stepsOverWaiting?: boolean;
}

export interface EmulatedBoard {
  /** Of the story, over all resets. */
  readonly elapsedMs: number;
  /** Bytes sent while this much of the story passes. */
  advance(ms: number): string;
  /** Bytes from the host, at the line's own pace; a board in its reset is deaf. */
  receive(bytes: string): void;
  reset(cause: Exclude<ResetCause, 'watchdog'>): void;
  /** Something holds the I2C clock low, or lets it go. */
  hangBus(hangs: boolean): void;
  /** The pin that makes the board forget what was fitted, when it next starts. */
  holdForgetPin(isHeld: boolean): void;
  /** A probe loses its supply for a moment. */
  interruptProbe(key: 'ts' | 'tm'): void;
  /** Runs until a function of the firmware is about to be called. */
  runTo(functionName: string): void;
  /** Puts the program counter into a function, as no program would. */
  jumpInto(functionName: string): void;
  /** Four bytes of data memory, by the variable's name. */
  writeUint32(variable: string, value: number): void;
  readUint32(variable: string): number;
  /** The processor's registers, ports and data memory. */
  readonly memory: Uint8Array;
}

const BOX_ADDRESS = 0x44;
const ROOM_ADDRESS = 0x45;
const PINS = { ts: 2, tm: 3, bridgeData: 4, bridgeClock: 5, forget: 7 } as const;
const EEPROM_BYTES = 1024;
/** More commands than a person sends; the rest is lost as on a line without a listener. */
const MOST_RECEIVED_BYTES = 1024;

export function emulatedBoard(options: EmulatedBoardOptions): EmulatedBoard {
  const { image, read, random, stepsOverWaiting = true } = options;
  const families = options.families ?? { box: 'sht4x', room: 'sht3x' };
  const eeprom = new EEPROMMemoryBackend(EEPROM_BYTES);
  const noise = random.fork('noise');
  /** Cycles of all boots before this one, and where the story is to stand: whole numbers, so that they meet. */
  let cyclesBefore = 0;
  let endCycles = 0;
  let out = '';
  let toHear: number[] = [];
  let forgetIsHeld = false;
  let chip: Chip;

  const elapsedMs = (): number => ((cyclesBefore + chip.cpu.cycles) / CLOCK_HZ) * 1000;
  const nowS = (): number => elapsedMs() / 1000;
  const senseOf = (station: string) => () => read(station, nowS());
  const slave = (station: 'box' | 'room', address: number) =>
    airSensorSlave({
      address,
      family: families[station],
      sense: senseOf(station),
      nowS,
      random: random.fork(station),
    });
  const probe = (key: 'ts' | 'tm') => temperatureProbe({ pin: PINS[key], key, sense: senseOf('box'), nowS });
  const bus = i2cBus([slave('box', BOX_ADDRESS), slave('room', ROOM_ADDRESS)]);
  const probes = { ts: probe('ts'), tm: probe('tm') };
  const bridge = bridgeAdc({
    dataPin: PINS.bridgeData,
    clockPin: PINS.bridgeClock,
    sense: senseOf('box'),
    random: random.fork('bridge'),
  });
  const devices: readonly Device[] = [bus, probes.ts, probes.tm, bridge];

  function start(cause: ResetCause, sram: Uint8Array): Chip {
    const started = startChip({
      program: image.program,
      cause,
      sram,
      eeprom,
      random: noise,
      stepsOverWaiting,
      onByte: (byte) => {
        out += String.fromCharCode(byte);
      },
    });
    started.portD.setPin(PINS.forget, !forgetIsHeld);
    started.usart.onRxComplete = () => hearNext();
    return started;
  }

  const anySram = (): Uint8Array => Uint8Array.from({ length: SRAM_BYTES }, () => noise.below(256));

  function restart(cause: ResetCause): void {
    cyclesBefore += chip.cpu.cycles;
    const kept = cause === 'power-on' ? anySram() : chip.cpu.data.slice(SRAM_START);
    toHear = [];
    chip = start(cause, kept);
    for (const device of devices) device.attach(chip, cause === 'power-on' || cause === 'brown-out');
  }

  function hearNext(): void {
    const byte = toHear[0];
    if (byte !== undefined && chip.usart.writeByte(byte)) toHear.shift();
  }

  chip = start('power-on', anySram());
  for (const device of devices) device.attach(chip, true);

  return {
    get elapsedMs() {
      return elapsedMs();
    },
    get memory() {
      return chip.cpu.data;
    },
    advance(ms) {
      // From where the last one was to end, or the last instructions of each would add up.
      endCycles = Math.max(endCycles + Math.round((ms / 1000) * CLOCK_HZ), cyclesBefore + chip.cpu.cycles);
      while (chip.run(endCycles - cyclesBefore) === 'watchdog') restart('watchdog');
      const sent = out;
      out = '';
      return sent;
    },
    receive(bytes) {
      if (!chip.usart.rxEnable || toHear.length + bytes.length > MOST_RECEIVED_BYTES) return;
      toHear.push(...Buffer.from(bytes, 'latin1'));
      if (!chip.usart.rxBusy) hearNext();
    },
    reset: restart,
    hangBus: bus.hang,
    holdForgetPin(isHeld) {
      forgetIsHeld = isHeld;
      chip.portD.setPin(PINS.forget, !isHeld);
    },
    interruptProbe: (key) => probes[key].power(),
    runTo: (name) => chip.runTo(functionAt(image, name)),
    jumpInto(name) {
      chip.cpu.pc = functionAt(image, name);
    },
    writeUint32(variable, value) {
      chip.cpu.dataView.setUint32(variableAt(image, variable), value, true);
    },
    readUint32: (variable) => chip.cpu.dataView.getUint32(variableAt(image, variable), true),
  };
}
