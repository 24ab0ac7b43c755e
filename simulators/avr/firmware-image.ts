/** A built firmware: its program from Intel HEX, its symbols from the list that stands beside it. */

export interface FirmwareImage {
  /** Flash of the ATmega328P in words, erased where nothing was written. */
  readonly program: Uint16Array<ArrayBuffer>;
  readonly flashBytes: number;
  /** Addresses as the linker gives them: flash in bytes, data memory from 0x800000. */
  readonly symbols: ReadonlyMap<string, number>;
}

export const FLASH_BYTES = 32 * 1024;
const DATA_RECORD = 0;
const END_RECORD = 1;
const EXTENDED_RECORDS = new Set([2, 3, 4, 5]);
/** The linker's way to keep data memory apart from flash. */
const DATA_SPACE = 0x80_0000;

/** Throws a RangeError that names the line where a record is damaged or lies outside the chip. */
export function readIntelHex(text: string): { program: Uint16Array<ArrayBuffer>; flashBytes: number } {
  const flash = new Uint8Array(FLASH_BYTES).fill(0xff);
  let flashBytes = 0;
  let ended = false;
  for (const [i, row] of text.split(/\r?\n/).entries()) {
    if (row === '') continue;
    const bytes = /^:((?:[0-9A-F]{2}){5,})$/i.test(row) ? Buffer.from(row.slice(1), 'hex') : null;
    const sum = bytes?.reduce((total, byte) => total + byte, 0) ?? 1;
    if (bytes === null || (sum & 0xff) !== 0 || bytes.length !== (bytes[0] as number) + 5)
      throw new RangeError(`Line ${i + 1} of the HEX file is damaged.`);
    const type = bytes[3] as number;
    if (type === END_RECORD) ended = true;
    else if (type === DATA_RECORD) {
      const at = bytes.readUInt16BE(1);
      const data = bytes.subarray(4, -1);
      if (at + data.length > FLASH_BYTES) throw new RangeError(`Line ${i + 1} lies outside the flash.`);
      flash.set(data, at);
      flashBytes = Math.max(flashBytes, at + data.length);
    } else if (!EXTENDED_RECORDS.has(type)) throw new RangeError(`Line ${i + 1} is of an unknown type.`);
  }
  if (!ended) throw new RangeError('The HEX file has no end record.');
  return { program: new Uint16Array(flash.buffer), flashBytes };
}

/** Rows of `address type name` in hexadecimal, as `nm` writes them. */
export function readSymbols(text: string): Map<string, number> {
  const symbols = new Map<string, number>();
  for (const row of text.split('\n')) {
    const [address, , name] = row.split(' ');
    if (name !== undefined) symbols.set(name, Number.parseInt(address as string, 16));
  }
  return symbols;
}

export function firmwareImage(hex: string, symbolList: string): FirmwareImage {
  return { ...readIntelHex(hex), symbols: readSymbols(symbolList) };
}

/** The address of a variable in data memory. Throws where the firmware has none of that name. */
export function variableAt(image: FirmwareImage, name: string): number {
  const address = image.symbols.get(name);
  if (address === undefined || address < DATA_SPACE)
    throw new RangeError(`The firmware has no variable ${name}.`);
  return address - DATA_SPACE;
}

/** The word address of a function in flash. */
export function functionAt(image: FirmwareImage, name: string): number {
  const address = image.symbols.get(name);
  if (address === undefined || address >= DATA_SPACE)
    throw new RangeError(`The firmware has no function ${name}.`);
  return address >> 1;
}
