/**
 * What a bad cable, a weak supply or a wrong plug makes of a board's bytes. Strings of one byte a character (latin1).
 * The board itself does not notice: its sequence number goes on, which is how the host learns of the loss.
 */
import type { Random } from './random.ts';

export interface NoiseEvent {
  readonly kind: 'garbage' | 'merged' | 'truncated' | 'edits' | 'mute' | 'flood';
  readonly fromS: number;
  readonly toS: number;
  /** garbage, merged, truncated, edits: chance for each line within the time; flood: bytes a second. Default 1. */
  readonly rate?: number;
}

export interface LineNoise {
  /** A line with its ending, as it arrives. */
  pass(line: string, atS: number): string;
  /** Bytes that come by themselves between two times. */
  between(fromS: number, toS: number): string;
}

/** A flood is cut here per call: a test that asks for an hour of it wants the behaviour, not the memory. */
const MOST_FLOOD_BYTES = 65_536;

const anyByte = (random: Random): string => String.fromCharCode(random.below(256));

function edit(line: string, random: Random): string {
  let text = line;
  for (let n = 1 + random.below(5); n > 0; n--) {
    const at = random.below(text.length + 1);
    const way = random.below(3);
    if (way === 0) text = text.slice(0, at) + anyByte(random) + text.slice(at + 1);
    else if (way === 1) text = text.slice(0, at) + anyByte(random) + text.slice(at);
    else text = text.slice(0, at) + text.slice(at + 1);
  }
  return text;
}

export function lineNoise(events: readonly NoiseEvent[], random: Random): LineNoise {
  const active = (event: NoiseEvent, atS: number): boolean => atS >= event.fromS && atS < event.toS;
  return {
    pass(line, atS) {
      let text = line;
      for (const event of events) {
        if (!active(event, atS)) continue;
        if (event.kind === 'mute') return '';
        if (event.kind === 'flood' || !random.chance(event.rate ?? 1)) continue;
        if (event.kind === 'garbage') {
          let before = '';
          for (let n = 1 + random.below(40); n > 0; n--) before += anyByte(random);
          text = before + text;
        } else if (event.kind === 'merged') text = text.replace(/\r?\n$/, '');
        else if (event.kind === 'truncated') text = text.slice(0, random.below(Math.max(1, text.length - 1)));
        else text = edit(text, random);
      }
      return text;
    },
    between(fromS, toS) {
      let text = '';
      for (const event of events) {
        if (event.kind !== 'flood') continue;
        const spanS = Math.min(toS, event.toS) - Math.max(fromS, event.fromS);
        if (spanS <= 0) continue;
        const bytes = Math.min(MOST_FLOOD_BYTES, Math.round(spanS * (event.rate ?? 1)));
        // Printable and without an end: the worst for a reader that waits for a newline.
        for (let i = 0; i < bytes; i++) text += String.fromCharCode(0x21 + random.below(94));
      }
      return text;
    },
  };
}
