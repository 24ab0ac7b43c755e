import { expect, test } from 'vitest';
import { readsAsText, textShare } from '../../server/serial/reads-as-text.ts';
import { seededRandom } from '../../simulators/random.ts';

const bytes = (text: string): Uint8Array => Buffer.from(text, 'latin1');
const NONE = new Uint8Array();

/** The levels of a UART line, 8N1, least significant bit first, read back at another speed. */
function readAt(text: Uint8Array, sentBaud: number, readBaud: number): Uint8Array {
  const levels: number[] = [1, 1, 1];
  for (const byte of text) levels.push(0, ...Array.from({ length: 8 }, (_, i) => (byte >> i) & 1), 1);
  const level = (bits: number): number => levels[Math.floor(bits)] ?? 1;
  const ratio = sentBaud / readBaud;
  const heard: number[] = [];
  const STEP = ratio / 16;
  for (let at = 0; at < levels.length; ) {
    if (level(at) === 1) {
      at += STEP;
      continue;
    }
    let byte = 0;
    for (let bit = 0; bit < 8; bit++) byte |= level(at + (1.5 + bit) * ratio) << bit;
    heard.push(byte);
    at += 9.5 * ratio;
  }
  return Uint8Array.from(heard);
}

const SENT = bytes('Temperature: 23.41 C  Humidity: 45.2 %\r\n'.repeat(20));
const SPEEDS = [115_200, 57_600, 38_400, 19_200, 9600, 4800];

test('of a sketch’s text only the speed it was sent at reads as text', () => {
  for (const sent of SPEEDS)
    for (const read of SPEEDS) {
      const heard = readAt(SENT, sent, read);
      const verdict = readsAsText(heard, heard);
      if (read === sent) {
        expect(Buffer.from(heard)).toEqual(Buffer.from(SENT));
        expect(verdict).toBe('text');
      } else expect(verdict, `${sent} read at ${read}`).toBe('noise');
    }
});

test('a whole line decides; a start-up message at another speed does not', () => {
  const random = seededRandom(7);
  const startUp = Uint8Array.from({ length: 200 }, () => random.below(256));
  expect(readsAsText(startUp, NONE)).toBe('unsure');
  expect(readsAsText(startUp, startUp)).toBe('noise');
  expect(readsAsText(Buffer.concat([startUp, bytes('\nT=23.4 H=45\r\n')]), NONE)).toBe('text');
  expect(readsAsText(bytes('5.2\n'), bytes('5.2\n'))).toBe('unsure');
});

test('text that never ends a line is told apart from noise', () => {
  const text = bytes('23.4 45.2 '.repeat(40));
  expect(readsAsText(text, text)).toBe('endless');
});

test('the degree sign is text in either encoding, other bytes are not', () => {
  expect(textShare(bytes('23.4 \u00b0C'))).toBe(1);
  expect(textShare(Buffer.from('23.4 °C é', 'utf8'))).toBe(1);
  expect(textShare(bytes('\u0000\u00ff\u0080\u00fe'))).toBe(0);
});
