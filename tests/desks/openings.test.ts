/** Lids and doors on their way into history: what the air shows of them, and what is typed. */
import { expect, it } from 'vitest';
import { readBench } from '../../server/config/read-bench.ts';
import { createEngine } from '../../server/engine.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';

const T0 = Date.UTC(2026, 10, 25, 9, 0, 0);
const reading = readBench(
  '[[source]]\nid = "usb"\nstdin = true\n[[station]]\nid = "rig"\nrole = "chamber"\n',
  null,
  { materials: MATERIAL_KEYS, things: [] },
);
if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
const { bench } = reading;
/** The wall's clock stands an hour from the machine's. */
const at = (s: number) => ({ wallMs: T0 + s * 1000, monotonicMs: 3_600_000 + s * 1000 });

it('a door seen in the air, and one that is typed, are each a mark at their own time and no second one', () => {
  const engine = createEngine(bench);
  const marks: { readonly station: string; readonly s: number }[] = [];
  for (let s = 0; s < 1200; s += 2) {
    engine.tick(at(s));
    // A door open from 600 s on takes 10 °C of 55 °C within half a minute, and shut at 700 s the air comes back.
    const t = s < 600 || s > 800 ? 55 : s < 700 ? 55 - Math.min(10, (s - 600) / 3) : 45 + (s - 700) / 10;
    const values = { t };
    const line = {
      kind: 'reading',
      station: 'rig',
      boot: '0a1b',
      seq: s,
      uptimeMs: s * 1000,
      values,
      faults: {},
    };
    const { samples } = engine.accept('usb', line as Parameters<typeof engine.accept>[1], true, at(s));
    for (const { station, key, atMs, value } of samples)
      if (key === 'opened' && value === 1) marks.push({ station, s: (atMs - T0) / 1000 });
    if (s === 1000) expect(engine.enter({ kind: 'lid', station: 'rig' }, at(s)).ok).toBe(true);
  }
  expect(marks).toHaveLength(2);
  const [seen, typed] = marks;
  expect(seen!.s).toBeGreaterThanOrEqual(600);
  expect(seen!.s).toBeLessThan(630);
  expect(typed).toEqual({ station: 'rig', s: 1000 });
});
