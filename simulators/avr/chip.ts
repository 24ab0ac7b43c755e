/**
 * An ATmega328P at 16 MHz from one reset to the next, on the avr8js emulator: processor, the peripherals that the
 * firmware uses, and a run loop that does not spend host time on waiting.
 *
 * Waiting is stepped over, cycle for cycle: SLEEP, to the next event of the peripherals; the delay loops of avr-libc (a
 * register counted down to nought) and a jump to itself, as far as no event falls into them.
 */
import {
  ADCMuxInputType,
  AVRADC,
  AVRClock,
  AVREEPROM,
  AVRIOPort,
  AVRTimer,
  AVRTWI,
  AVRUSART,
  AVRWatchdog,
  adcConfig,
  avrInstruction,
  CPU,
  clockConfig,
  type EEPROMBackend,
  eepromConfig,
  portCConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  twiConfig,
  usart0Config,
  watchdogConfig,
} from 'avr8js';
import type { Random } from '../random.ts';

export const CLOCK_HZ = 16_000_000;
export const SRAM_BYTES = 2048;
export const SRAM_START = 0x100;

export type ResetCause = 'power-on' | 'external' | 'brown-out' | 'watchdog';
/** Reset flags of MCUSR: PORF, EXTRF, BORF, WDRF. */
const CAUSE_FLAGS: Readonly<Record<ResetCause, number>> = {
  'power-on': 1,
  external: 2,
  'brown-out': 4,
  watchdog: 8,
};
const MCUSR = 0x54;

const SEI = 0x9478;
const SLEEP = 0x9588;
/** BRNE two words back, the end of both delay loops. */
const BRNE_BACK = 0xf7f1;
const { TCNT, OCRA, OCRB, TCCRB } = timer1Config;
/** Cycles a tick of Timer1 by the clock bits of TCCR1B; stopped and outside clocks have no quiet time to skip. */
const TIMER_DIVIDERS = [0, 1, 8, 64, 256, 1024, 0, 0] as const;
/** RJMP to itself, which is where a program ends. */
const RJMP_SELF = 0xcfff;
const RJMP_CYCLES = 2;
const DEC_CYCLES = 3;
const SBIW_CYCLES = 4;
const WAIT = { none: 0, sei: 1, sleep: 2, dec: 3, sbiw: 4, spin: 5 } as const;

/** What avr8js keeps to itself: the queue of coming events, the timer's own event, how an interrupt's flag is cleared. */
interface Coming {
  readonly cycles: number;
  readonly callback: () => void;
  readonly next: Coming | null;
}
interface EventQueue {
  readonly nextClockEvent: Coming | null;
}
interface TimerEvent {
  readonly count: () => void;
}
interface TransmitInterrupt {
  readonly UDRE: { constant?: boolean };
}

export interface ChipOptions {
  readonly program: Uint16Array<ArrayBuffer>;
  readonly cause: ResetCause;
  /** Data memory as the reset found it; SRAM_BYTES. */
  readonly sram: Uint8Array;
  readonly eeprom: EEPROMBackend;
  /** The last bits of the analogue converter. */
  readonly random: Random;
  readonly onByte: (byte: number) => void;
  /** False runs every delay and every tick of the timer, to hold the other way against it. */
  readonly stepsOverWaiting?: boolean;
}

export interface Chip {
  readonly cpu: CPU;
  readonly portC: AVRIOPort;
  readonly portD: AVRIOPort;
  readonly twi: AVRTWI;
  readonly usart: AVRUSART;
  /** Runs until this cycle since the reset or shortly after, or until the watchdog bites. */
  run(untilCycles: number): 'done' | 'watchdog';
  /** Runs until the program counter stands at a word address. */
  runTo(wordAddress: number): void;
  /** Calls once after this much of the chip's time; forgotten at a reset. */
  after(seconds: number, call: () => void): void;
}

/** Through a constant of this module: an import may be a property looked up at each of a hundred million calls. */
const runInstruction = avrInstruction;

/** Which instruction words want more than to be run. */
function findWaits(program: Uint16Array): Uint8Array {
  const waits = new Uint8Array(program.length);
  for (let pc = 0; pc < program.length - 1; pc++) {
    const word = program[pc] as number;
    if (word === SEI) waits[pc] = WAIT.sei;
    else if (word === SLEEP) waits[pc] = WAIT.sleep;
    else if (word === RJMP_SELF) waits[pc] = WAIT.spin;
    else if (program[pc + 1] !== BRNE_BACK) continue;
    else if ((word & 0xfe0f) === 0x940a) waits[pc] = WAIT.dec;
    // SBIW of 1 only.
    else if ((word & 0xffcf) === 0x9701) waits[pc] = WAIT.sbiw;
  }
  return waits;
}

export function startChip(options: ChipOptions): Chip {
  const { program, cause, sram, eeprom, random, onByte, stepsOverWaiting = true } = options;
  const cpu = new CPU(program, SRAM_BYTES);
  cpu.data.set(sram, SRAM_START);
  const clock = new AVRClock(cpu, CLOCK_HZ, clockConfig);
  new AVREEPROM(cpu, eeprom, eepromConfig);
  // Not the firmware's, but a sketch's milliseconds; it costs nothing while it stands.
  new AVRTimer(cpu, timer0Config);
  const timerTick = (new AVRTimer(cpu, timer1Config) as unknown as TimerEvent).count;
  new AVRWatchdog(cpu, watchdogConfig, clock);
  const portC = new AVRIOPort(cpu, portCConfig);
  const portD = new AVRIOPort(cpu, portDConfig);
  const twi = new AVRTWI(cpu, twiConfig, CLOCK_HZ);
  const usart = new AVRUSART(cpu, usart0Config, CLOCK_HZ);
  usart.onByteTransmit = onByte;
  // "Data register empty" stands until the register is written (data sheet, 20.7.3), not until it interrupts: without
  // this a transmitter that ran dry would never start again.
  (usart as unknown as TransmitInterrupt).UDRE.constant = true;
  const adc = new AVRADC(cpu, adcConfig);
  adc.onADCRead = (input) => {
    // Around 25 °C the temperature sensor gives 314 mV against 1.1 V; some units of noise.
    const value = input.type === ADCMuxInputType.Temperature ? 288 + random.below(8) : 0;
    cpu.addClockEvent(() => adc.completeADCRead(value), adc.sampleCycles);
  };
  cpu.data[MCUSR] = CAUSE_FLAGS[cause];

  // The watchdog of avr8js resets the processor only; a whole reset is the board's business.
  let bitten = false;
  cpu.reset = () => {
    bitten = true;
  };
  const queue = cpu as unknown as EventQueue;
  const waits = findWaits(program);

  /** How many turns of a delay loop can be left out: all but the last, and none with an event in it. */
  const turnsToSkip = (turns: number, cyclesATurn: number, end: number): number => {
    const free = Math.min(end, queue.nextClockEvent?.cycles ?? end) - cpu.cycles - 1;
    return Math.max(0, Math.min(turns - 1, Math.floor(free / cyclesATurn)));
  };

  function stepOver(wait: number, end: number): void {
    if (wait === WAIT.spin) {
      cpu.cycles += turnsToSkip(Number.MAX_SAFE_INTEGER, RJMP_CYCLES, end) * RJMP_CYCLES;
    } else if (wait === WAIT.dec) {
      const register = ((program[cpu.pc] as number) >> 4) & 31;
      const value = cpu.data[register] as number;
      const skipped = turnsToSkip(value || 256, DEC_CYCLES, end);
      cpu.data[register] = value - skipped;
      cpu.cycles += skipped * DEC_CYCLES;
    } else if (wait === WAIT.sbiw) {
      const register = 24 + (((program[cpu.pc] as number) >> 3) & 6);
      const value = cpu.dataView.getUint16(register, true);
      const skipped = turnsToSkip(value || 65_536, SBIW_CYCLES, end);
      cpu.dataView.setUint16(register, value - skipped, true);
      cpu.cycles += skipped * SBIW_CYCLES;
    }
  }

  const word = (address: number): number => cpu.dataView.getUint16(address, true);
  /** A mark that is right here has been dealt with; it comes again in a whole turn. */
  const ticksTo = (mark: number, ticks: number): number => (mark - ticks) & 0xffff || 0x1_0000;

  /** Cycles for which Timer1 only counts: to the tick before the next of its marks. avr8js has an event for each tick. */
  function quietTimerCycles(): number {
    const ticks = cpu.readData(TCNT) | ((cpu.data[TCNT + 1] as number) << 8);
    const left = Math.min(ticksTo(0, ticks), ticksTo(word(OCRA), ticks), ticksTo(word(OCRB), ticks));
    const divider = TIMER_DIVIDERS[(cpu.data[TCCRB] as number) & 7] ?? 0;
    return Math.max(0, left - 2) * divider;
  }

  /** Where it sleeps, also from one run to the next. */
  let asleepAt = -1;

  /** To the first event that makes an interrupt, which is what ends a sleep, or to the end of the run. */
  function sleepThrough(end: number): void {
    while (cpu.pc === asleepAt && queue.nextClockEvent && !bitten) {
      if (cpu.cycles >= end) return;
      const { cycles, callback, next } = queue.nextClockEvent;
      let until = cycles;
      if (stepsOverWaiting && callback === timerTick) {
        const quiet = cpu.cycles + quietTimerCycles();
        until = Math.max(cycles, Math.min(quiet, next?.cycles ?? quiet));
      }
      if (until > cpu.cycles) cpu.cycles = Math.min(until, end);
      cpu.tick();
    }
    asleepAt = -1;
  }

  function step(end: number): void {
    let wait = waits[cpu.pc] as number;
    if (wait === WAIT.sei) {
      // The instruction after SEI runs before any interrupt (data sheet, 7.7), else one could slip in before a SLEEP
      // and leave it without its waking up. avr8js would take it at once.
      runInstruction(cpu);
      wait = waits[cpu.pc] as number;
    } else if (wait > WAIT.sleep && stepsOverWaiting) stepOver(wait, end);
    runInstruction(cpu);
    // SLEEP has been run, so that the return address is past it; an interrupt that waited ends it at once.
    if (wait === WAIT.sleep) asleepAt = cpu.pc;
    cpu.tick();
    if (wait === WAIT.sleep) sleepThrough(end);
  }

  return {
    cpu,
    portC,
    portD,
    twi,
    usart,
    run(untilCycles) {
      sleepThrough(untilCycles);
      while (cpu.cycles < untilCycles && !bitten) step(untilCycles);
      return bitten ? 'watchdog' : 'done';
    },
    runTo(wordAddress) {
      while (cpu.pc !== wordAddress && !bitten) step(Number.POSITIVE_INFINITY);
    },
    after(seconds, call) {
      cpu.addClockEvent(call, Math.round(seconds * CLOCK_HZ));
    },
  };
}
