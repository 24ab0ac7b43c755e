/**
 * Whether received bytes are text, which tells the right baud rate from a wrong one: at a wrong one most bytes are
 * no visible characters, and there are hardly any line feeds.
 */

export type TextVerdict = 'text' | 'noise' | 'endless' | 'unsure';

const LINE_FEED = 0x0a;
/** Fewer may be a glitch. Of random bytes 38 % are visible or blank: that three quarters of 16 are is one case in 500. */
const NOISE_BYTES = 16;
const NOISE_SHARE = 0.75;
/** One damaged byte in twenty is a bad cable rather than a wrong rate. */
const TEXT_SHARE = 0.95;
/** A line with fewer visible characters says nothing. */
const LEAST_LINE_BYTES = 3;
/** The longest line that is kept, and some. */
const ENDLESS_BYTES = 300;

/** Share of the bytes that text has: visible ASCII, blanks, line ends, and accented letters or signs in UTF-8. */
export function textShare(bytes: Uint8Array): number {
  if (bytes.length === 0) return 1;
  let good = 0;
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i] as number;
    const next = bytes[i + 1];
    if ((byte >= 0x20 && byte <= 0x7e) || byte === 0x09 || byte === LINE_FEED || byte === 0x0d) good++;
    else if ((byte === 0xc2 || byte === 0xc3) && next !== undefined && next >= 0x80 && next <= 0xbf) {
      good += 2;
      i++;
      // The degree sign of older character sets.
    } else if (byte === 0xb0) good++;
  }
  return good / bytes.length;
}

/**
 * `all`: since the port was opened. `settled`: those of them that came once a board's reset, which opening may cause,
 * is over: a start-up message at another speed is no sign of a wrong one.
 */
export function readsAsText(all: Uint8Array, settled: Uint8Array): TextVerdict {
  const last = all.lastIndexOf(LINE_FEED);
  const before = last > 0 ? all.lastIndexOf(LINE_FEED, last - 1) : -1;
  // A whole line stands between two line feeds; what comes before the first may be the rest of one.
  if (before >= 0) {
    const line = all.subarray(before + 1, last);
    if (line.length >= LEAST_LINE_BYTES && textShare(line) >= TEXT_SHARE) return 'text';
  }
  if (settled.length >= NOISE_BYTES && textShare(settled.subarray(-ENDLESS_BYTES)) < NOISE_SHARE)
    return 'noise';
  if (all.length >= ENDLESS_BYTES && last < 0 && textShare(all) >= TEXT_SHARE) return 'endless';
  return 'unsure';
}
