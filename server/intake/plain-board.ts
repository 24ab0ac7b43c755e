/**
 * Stands in for the numbering that plain lines lack: a sequence and an uptime of the host's own, so that the rest of
 * the way is one way. Nothing lost can be seen in such lines, which is one reason why they are marked unchecked.
 */
import { type Fault, type LineReading, UINT32_RANGE } from '../../firmware-protocol/line.ts';
import type { Instant } from '../clock.ts';

export interface PlainBoard {
  number(
    station: string,
    values: Readonly<Record<string, number>>,
    faults: Readonly<Record<string, Fault>>,
    at: Instant,
  ): LineReading;
}

/** Boot id of all plain lines: a real board's is drawn at random. */
const PLAIN_BOOT = '0000';

export function createPlainBoard(): PlainBoard {
  let seq = 0;
  let startMs: number | null = null;
  return {
    number(station, values, faults, at) {
      startMs ??= at.monotonicMs;
      const uptimeMs = Math.round(at.monotonicMs - startMs) % UINT32_RANGE;
      const line: LineReading = { kind: 'reading', station, boot: PLAIN_BOOT, seq, uptimeMs, values, faults };
      seq = (seq + 1) % UINT32_RANGE;
      return line;
    },
  };
}
