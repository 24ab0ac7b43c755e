import { describe, expect, test } from 'vitest';
import { crc16, crcHex } from '../../firmware-protocol/crc.ts';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { REFUSALS } from '../../firmware-protocol/line.ts';
import vectors from '../../firmware-protocol/vectors.json' with { type: 'json' };

test('the checksum gives the check value of the published catalogue', () => {
  expect(crcHex(crc16(vectors.crc.of))).toBe(vectors.crc.is);
});

describe('golden lines', () => {
  for (const vector of vectors.lines)
    test(vector.name, () => {
      const decoded = decodeLine(vector.line);
      if ('want' in vector) expect(decoded).toEqual({ ok: true, line: vector.want });
      else {
        expect(decoded).toMatchObject({ ok: false, reason: vector.refused });
        expect(decoded.ok || decoded.detail).toMatch(/\.$/);
      }
    });

  test('every refusal has a vector', () => {
    const seen = new Set(vectors.lines.flatMap((vector) => ('refused' in vector ? [vector.refused] : [])));
    expect([...seen].sort()).toEqual([...REFUSALS].sort());
  });
});
