/** Chambers through the engine, fed by the separate chamber truth: the judgement is not the truth's. */
import { beforeAll, expect, it } from 'vitest';
import type { LineReading } from '../../firmware-protocol/line.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { createEngine, type Engine } from '../../server/engine.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';
import { THINGS } from '../../server/physics/things.ts';
import { drawChamberRun } from '../../simulators/chamber-draw.ts';
import { type ChamberReading, chamberSensors } from '../../simulators/chamber-sensors.ts';

const T0 = Date.UTC(2026, 10, 25, 9, 0, 0);
const SEED = 41;
const BENCH = `
[[source]]
id = "usb"
stdin = true
[[station]]
id = "rig"
role = "chamber"
inside = ["pla", "pmma"]
[[station]]
id = "room"
role = "room"
[[station]]
id = "psu"
role = "electronics"
`;
const reading = readBench(BENCH, null, { materials: MATERIAL_KEYS, things: Object.keys(THINGS) });
if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
const { bench } = reading;
let all: readonly ChamberReading[];

beforeAll(() => {
  const sensors = chamberSensors(drawChamberRun({ seed: SEED, bedTargetC: 108, bedOffS: 7.5 * 3600 }));
  all = Array.from({ length: (10 * 3600) / 20 }, () => sensors.next(20));
});

const at = (elapsedS: number) => ({ wallMs: T0 + elapsedS * 1000, monotonicMs: elapsedS * 1000 });
const line = (
  station: string,
  seq: number,
  uptimeMs: number,
  values: LineReading['values'],
): LineReading => ({
  kind: 'reading',
  station,
  boot: '0a1b',
  seq,
  uptimeMs,
  values,
  faults: {},
});

function hear(engine: Engine, from: readonly ChamberReading[], withBed = true): void {
  for (const { elapsedS, t, tb, roomT } of from) {
    const ms = Math.round(elapsedS * 1000);
    const seq = Math.round(elapsedS / 20) * 2;
    engine.tick(at(elapsedS));
    engine.accept('usb', line('rig', seq, ms, withBed ? { t, tb } : { t }), true, at(elapsedS));
    engine.accept('usb', line('room', seq + 1, ms, { t: roomT }), true, at(elapsedS));
  }
}
const endS = (rows: readonly ChamberReading[]) => rows.at(-1)?.elapsedS ?? 0;

it('a heat-up is told as records: cold, climbing, steady, cooling, with a time at which it may be opened', () => {
  const engine = createEngine(bench);
  const states = new Set<string>();
  let openAt: string | null = null;
  for (let i = 0; i < all.length; i += 30) {
    const part = all.slice(i, i + 30);
    hear(engine, part);
    const [record] = engine.soakRecords(at(endS(part)));
    if (!record) throw new Error('no record');
    states.add(record.state);
    // Its first steep way up is not a disturbance.
    if (endS(part) < 2400) expect(record.state).toMatch(/^(cold|climbing)$/);
    if (record.state === 'climbing' && record.finalAirC) {
      expect(record.finalAirC.p05).toBeLessThanOrEqual(record.finalAirC.p95);
      expect(record.openAt.p50).toBeNull();
    }
    if (record.state === 'cooling') openAt ??= record.openAt.p50;
  }
  expect([...states]).toEqual(expect.arrayContaining(['cold', 'climbing', 'steady', 'cooling']));
  expect(Date.parse(openAt ?? '')).toBeGreaterThan(T0 + 7.5 * 3_600_000);
});

it('the frame is told as a temperature of its own, between the room and the air it follows', () => {
  const engine = createEngine(bench);
  const until = all.findIndex(({ elapsedS }) => elapsedS > 7000);
  hear(engine, all.slice(0, until));
  const now = at(endS(all.slice(0, until)));
  const [estimate] = engine.soakEstimates(now);
  const { t, roomT } = all[until - 1]!;
  expect(estimate?.frameC).toBeGreaterThan(roomT);
  expect(estimate?.frameC).toBeLessThan(t);
});

it('goes on with the same numbers after a restart, and the wall clock moves only the labels', () => {
  const half = all.findIndex(({ elapsedS }) => elapsedS > 7000);
  const until = all.findIndex(({ elapsedS }) => elapsedS > 9000);
  const whole = createEngine(bench);
  hear(whole, all.slice(0, until));
  const before = createEngine(bench);
  hear(before, all.slice(0, half));
  const after = createEngine(bench, JSON.parse(JSON.stringify(before.save())));
  hear(after, all.slice(half, until));
  const now = at(endS(all.slice(0, until)));
  expect(after.soakRecords(now)).toEqual(whole.soakRecords(now));

  const moved = whole.soakEstimates({ ...now, wallMs: now.wallMs + 3_600_000 })[0];
  const still = whole.soakEstimates(now)[0];
  expect(moved?.finalAirC).toEqual(still?.finalAirC);
  expect((moved?.heatOnMs ?? 0) - (still?.heatOnMs ?? 0)).toBe(3_600_000);
});

it('readings kept by history and told again count once', () => {
  const saved = createEngine(bench);
  hear(saved, all.slice(0, 200));
  const after = createEngine(bench, JSON.parse(JSON.stringify(saved.save())));
  for (const { elapsedS, t, tb, roomT } of all.slice(150, 260)) {
    after.recall('rig', { t, tb }, at(elapsedS));
    after.recall('room', { t: roomT }, at(elapsedS));
  }
  hear(saved, all.slice(200, 260));
  const now = at(endS(all.slice(0, 260)));
  expect(after.soakRecords(now)).toEqual(saved.soakRecords(now));
});

it('PLA inside is warned of before the air gets there, and the electronics have their own ceiling', () => {
  const engine = createEngine(bench);
  const outcomes: { atS: number; outcome: string | undefined; airC: number }[] = [];
  for (let i = 0; i < all.length / 2; i += 15) {
    const part = all.slice(i, i + 15);
    hear(engine, part);
    const now = at(endS(part));
    outcomes.push({
      atS: endS(part),
      outcome: engine.ceilings(now).get('rig')?.outcome,
      airC: part.at(-1)?.t ?? Number.NaN,
    });
  }
  // A bed at 108 °C drives this chamber over 50 °C, where PLA gives way.
  const crossing = outcomes.find(({ airC }) => airC >= 50);
  const warned = outcomes.find(({ outcome }) => outcome === 'near-ahead' || outcome === 'near');
  if (!crossing || !warned) throw new Error('nothing was crossed or warned of');
  expect(outcomes[0]?.outcome).toBe('clear');
  expect(warned.atS).toBeLessThan(crossing.atS - 600);
  expect(outcomes.at(-1)?.outcome).toBe('passed');
  const view = engine.ceilings(at(endS(all))).get('rig');
  expect(view?.ceilingC).toBe(50);
  expect(view?.reason).toContain('PLA');
  expect(view?.whose).toBe('PLA part');
  expect(engine.ceilings(at(0)).get('psu')).toMatchObject({ outcome: 'cannot-tell', ceilingC: 45 });
});

it('a door told by hand masks the fit as a seen one would', () => {
  const told = createEngine(bench);
  hear(told, all.slice(0, 300));
  const untold = createEngine(bench, JSON.parse(JSON.stringify(told.save())));
  expect(told.enter({ kind: 'lid', station: 'rig' }, at(endS(all.slice(0, 300)))).ok).toBe(true);
  hear(told, all.slice(300, 330));
  hear(untold, all.slice(300, 330));
  const now = at(endS(all.slice(0, 330)));
  expect(told.soakRecords(now)[0]?.state).toBe('disturbed');
  expect(untold.soakRecords(now)[0]?.state).toBe('climbing');
});
