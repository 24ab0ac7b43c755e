/**
 * CRC-16/IBM-3740: poly 0x1021, init 0xFFFF, no reflection, no final xor.
 * Source: the published catalogue of parametrised CRC algorithms; check value of "123456789" is 0x29B1.
 */
const TABLE = new Uint16Array(256);
for (let byte = 0; byte < 256; byte++) {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? ((crc << 1) ^ 0x1021) & 0xffff : (crc << 1) & 0xffff;
  TABLE[byte] = crc;
}

/** One step of the same, for a caller that walks over the characters anyway; start from CRC_START. */
export const crcStep = (crc: number, code: number): number =>
  ((crc << 8) ^ (TABLE[(crc >> 8) ^ code] as number)) & 0xffff;
export const CRC_START = 0xffff;

/**
 * CRC of `text` from `start` up to but not including `end`, one byte a character (latin1).
 * Characters above 0xFF are taken modulo 256: callers have refused them before.
 */
export function crc16(text: string, start = 0, end = text.length): number {
  let crc = CRC_START;
  for (let i = start; i < end; i++) crc = crcStep(crc, text.charCodeAt(i) & 0xff);
  return crc;
}

/** Four upper-case hexadecimal digits, as the line carries them. */
export function crcHex(crc: number): string {
  return crc.toString(16).toUpperCase().padStart(4, '0');
}
