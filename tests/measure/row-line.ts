/** Bytes to readings, against the bare readline parser on the same chunks. */
import { ReadlineParser } from '@serialport/parser-readline';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { encodeReading } from '../../firmware-protocol/encode.ts';
import { isImplausible } from '../../firmware-protocol/keys.ts';
import type { Measured } from './rounds.ts';
import { compare } from './rounds.ts';

const LINES = 40_000;
const CHUNK_BYTES = 256;

export async function measureLine(): Promise<readonly Measured[]> {
  const text = Array.from({ length: LINES }, (_, i) =>
    encodeReading(
      {
        station: 'box',
        boot: '3f2a',
        seq: i,
        uptimeMs: i * 2000,
        values: { t: 70 + i / 9999, rh: 4 + i / 77_777, m: 1184 },
        faults: {},
      },
      2,
    ),
  ).join('\n');
  const bytes = Buffer.from(`${text}\n`, 'latin1');
  const through = (onLine: (line: string) => void): number => {
    const parser = new ReadlineParser({ delimiter: '\n', encoding: 'latin1' });
    let lines = 0;
    parser.on('data', (line: string) => {
      lines++;
      onLine(line);
    });
    for (let at = 0; at < bytes.length; at += CHUNK_BYTES) parser.write(bytes.subarray(at, at + CHUNK_BYTES));
    return lines;
  };
  let plausible = 0;
  const { ours, ratio } = await compare(
    () =>
      through((line) => {
        const decoded = decodeLine(line);
        if (!decoded.ok || decoded.line.kind !== 'reading') throw new Error('a good line was refused');
        for (const key in decoded.line.values)
          if (!isImplausible(key, decoded.line.values[key] as number)) plausible++;
      }),
    () => through(() => {}),
  );
  if (plausible === 0) throw new Error('nothing was read');
  return [
    {
      name: 'line to reading',
      value: ours,
      unit: 'lines/s',
      yardstick: 'bare readline parser',
      ratio,
      aim: '≥ 0.35',
      met: ratio >= 0.35,
    },
  ];
}
