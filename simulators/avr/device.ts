/** What hangs on the emulated board's pins: told of each reset, and asked for its part in turn. */
import type { Fault } from '../../firmware-protocol/line.ts';
import type { BoardReading } from '../board.ts';
import type { Chip } from './chip.ts';

export interface Device {
  /** The chip began anew; `powered`: so did the device, for the supply was gone. */
  attach(chip: Chip, powered: boolean): void;
}

/** What the device would sense now: the station's truth, or a fault to be shown in the device's own way. */
export type Sense = () => BoardReading;

/** Not there at all: pulled off, or never fitted. */
export const isAbsent = (reading: BoardReading, keys: readonly string[]): boolean =>
  keys.some((key) => reading.faults[key] === 'nack') ||
  keys.every((key) => reading.values[key] === undefined && reading.faults[key] === undefined);

export const faultOf = (reading: BoardReading, key: string): Fault | undefined => reading.faults[key];
