/** An hour of the emulated board's time, in seconds of ours: nothing is lost, nothing drifts, nothing grows. */
import { expect, test } from 'vitest';
import { variableAt } from '../../simulators/avr/firmware-image.ts';
import { builtImage, emulatedRig } from './emulated-rig.ts';

const HOUR_MS = 3_600_000;
const EVERY_MS = 30_000;
/** Painted over memory that the program does not use, to see how far its stack comes down. */
const PAINT = 0xa5;
const LAST_SRAM = 0x8ff;
const MOST_RAM_BYTES = 1024;

test('an hour: every line arrives, in order and in time, and the stack keeps its place', async () => {
  const rig = await emulatedRig((station, atS) =>
    station === 'room'
      ? { t: 20 + Math.sin(atS / 600), rh: 45 + 3 * Math.cos(atS / 900) }
      : { t: 65, rh: 5 - atS / 3600, ts: 60 + atS / 3600, tm: 27, m: 1250 - atS / 900 },
  );
  rig.board.runTo('main');
  const heap = variableAt(builtImage(), '__heap_start');
  // The return address and some bytes of the start-up code lie at the top.
  rig.board.memory.fill(PAINT, heap, LAST_SRAM - 32);
  await rig.advance(500);
  await rig.tell(`=${EVERY_MS}`);
  await rig.advance(HOUR_MS);
  await rig.end();

  expect(rig.refused).toEqual([]);
  expect(rig.readings.every(({ verdict }, i) => verdict === (i === 0 ? 'first' : 'next'))).toBe(true);
  const box = rig.of('box');
  expect(box.length).toBeGreaterThanOrEqual(HOUR_MS / EVERY_MS - 1);
  expect(rig.of('room')).toHaveLength(box.length);
  const settled = box.slice(3);
  for (const [i, { uptimeMs, faults }] of settled.entries()) {
    expect(faults).toEqual({});
    const before = settled[i - 1];
    if (before) expect(Math.abs(uptimeMs - before.uptimeMs - EVERY_MS)).toBeLessThanOrEqual(2);
  }
  // The counter divides 64 µs ticks without losing any: no millisecond in the hour.
  const first = settled[0]?.uptimeMs ?? 0;
  expect(((settled.at(-1)?.uptimeMs ?? 0) - first) % EVERY_MS).toBeLessThanOrEqual(2);
  expect(settled.at(-1)?.values['rh']).toBeCloseTo(4, 1);
  expect(settled.at(-1)?.values['m']).toBeCloseTo(1246, 0);

  const deepest = rig.board.memory.findIndex((byte, at) => at >= heap && byte !== PAINT);
  const usedBytes = heap - 0x100 + (LAST_SRAM - deepest + 1);
  expect(deepest).toBeGreaterThan(heap);
  expect(usedBytes).toBeLessThanOrEqual(MOST_RAM_BYTES);
});
