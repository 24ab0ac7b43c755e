/** Jobs through the engine: box and chamber are fed by hand, so that what leaves its window is known to the minute. */
import { describe, expect, it } from 'vitest';
import type { LineReading } from '../../firmware-protocol/line.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { createEngine, type Engine } from '../../server/engine.ts';
import { compareJobs, minutesOut } from '../../server/estimators/jobs/compare.ts';
import type { Job } from '../../server/estimators/jobs/job.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';

const T0 = Date.UTC(2026, 10, 25, 9, 0, 0);
const BENCH = `
[[source]]
id = "usb"
stdin = true
[[station]]
id = "box"
role = "drybox"
[[station]]
id = "rig"
role = "chamber"
[[station]]
id = "room"
role = "room"
[[spool]]
id = "gear"
station = "box"
material = "pa12"
net_mass_g = 750
stored = "desiccant"
`;
const reading = readBench(BENCH, null, { materials: MATERIAL_KEYS, things: [] });
if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
const { bench } = reading;
/** The same spool, kept in the room's air. */
function readDamp() {
  const damp = readBench(BENCH.replace('desiccant', 'room'), null, { materials: MATERIAL_KEYS, things: [] });
  if (!damp.ok) throw new Error(JSON.stringify(damp.mistakes));
  return damp.bench;
}
const at = (s: number) => ({ wallMs: T0 + s * 1000, monotonicMs: s * 1000 });

interface Air {
  readonly box?: { t: number; rh: number } | null;
  readonly rig?: number | null;
}

/** Plays seconds [from, to) at ten-second steps; null: the station is silent. */
function play(engine: Engine, from: number, to: number, air: (s: number) => Air): void {
  for (let s = from; s < to; s += 10) {
    const { box = { t: 80, rh: 2 }, rig = 55 } = air(s);
    engine.tick(at(s));
    const line = (station: string, place: number, values: LineReading['values']): void => {
      const seq = s + place;
      engine.accept(
        'usb',
        { kind: 'reading', station, boot: '0a1b', seq, uptimeMs: s * 1000 + place, values, faults: {} },
        true,
        at(s),
      );
    };
    if (box) line('box', 0, box);
    if (rig !== null) line('rig', 1, { t: rig });
    line('room', 2, { t: 22, rh: 45 });
  }
}
const start = (engine: Engine, s: number, given: object = {}) =>
  engine.enter(
    {
      kind: 'job-start',
      job: 'bracket',
      spool: 'gear',
      station: 'rig',
      grams: 120,
      hours: 4,
      chamberC: 55,
      settings: { nozzleC: 260, bed: 'garolite' },
      ...given,
    },
    at(s),
  );
const only = (engine: Engine, s: number): Job => {
  const [job] = engine.jobs(at(s));
  if (!job) throw new Error('there is no job');
  return job;
};
const kinds = (job: Job) => job.excursions.map(({ kind }) => kind);

describe('a running job', () => {
  it('in its window all along has no excursion, and counts what it has fed', () => {
    const engine = createEngine(bench);
    play(engine, 0, 1800, () => ({}));
    expect(start(engine, 1800).ok).toBe(true);
    play(engine, 1800, 1800 + 7200, () => ({}));
    const [record] = engine.jobRecords(at(9000));
    expect(record?.excursions).toEqual([]);
    // Half the time, half the grams.
    expect(record?.fedG).toBeGreaterThan(59);
    expect(record?.fedG).toBeLessThan(61);
    expect(record?.fedWtPercent?.p50).toBeGreaterThan(0);
    expect(record?.pSpoolAtStart).not.toBeNull();
  });

  it('tells a chamber off its temperature, when, and how far, and nothing of a short dip', () => {
    const engine = createEngine(bench);
    play(engine, 0, 600, () => ({}));
    start(engine, 600);
    play(engine, 600, 6000, (s) => ({ rig: s >= 2000 && s < 2900 ? 48.5 : s >= 4000 && s < 4060 ? 49 : 55 }));
    const job = only(engine, 6000);
    expect(kinds(job).filter((kind) => kind === 'chamber-off')).toHaveLength(1);
    const off = job.excursions.find(({ kind }) => kind === 'chamber-off');
    expect(off).toMatchObject({ station: 'rig', worst: 48.5, limit: 55, unit: '°C' });
    // To the ten seconds at which a job is looked at.
    expect(Math.abs((off?.fromMs ?? 0) - T0 - 2_000_000)).toBeLessThanOrEqual(10_000);
    expect(Math.abs((off?.toMs ?? 0) - T0 - 2_900_000)).toBeLessThanOrEqual(10_000);
    expect(minutesOut(job, 'chamber-off')).toBeCloseTo(15, 0);
  });

  it('tells of a silent chamber, and ends nothing by what it does not hear', () => {
    const engine = createEngine(bench);
    play(engine, 0, 600, () => ({}));
    start(engine, 600);
    play(engine, 600, 3000, (s) => ({ rig: s < 1500 ? (s >= 1200 ? 47 : 55) : null }));
    const job = only(engine, 3000);
    expect(kinds(job)).toEqual(expect.arrayContaining(['chamber-off', 'quiet']));
    // It was off when last heard: silence does not make it well.
    expect(job.excursions.find(({ kind }) => kind === 'chamber-off')?.toMs).toBeNull();
  });

  it('tells of feed air that would wet the filament, once even the sensor’s tolerance cannot explain it away', () => {
    const engine = createEngine(bench);
    play(engine, 0, 600, () => ({}));
    start(engine, 600);
    // 45 °C and 40 %RH keep polyamide 12 at some 0.6 %, far above 0.1 %.
    play(engine, 600, 4200, (s) => ({ box: s >= 1800 ? { t: 45, rh: 40 } : { t: 80, rh: 2 } }));
    expect(kinds(only(engine, 4200))).toContain('feed-air');
    const near = createEngine(bench);
    play(near, 0, 600, () => ({}));
    start(near, 600);
    play(near, 600, 4200, () => ({ box: { t: 60, rh: 6.5 } }));
    expect(kinds(only(near, 4200))).not.toContain('feed-air');
  });

  it('stands still while it is paused, and a pause is told', () => {
    const engine = createEngine(bench);
    play(engine, 0, 600, () => ({}));
    start(engine, 600);
    play(engine, 600, 1200, () => ({}));
    expect(engine.enter({ kind: 'job-pause', job: 'bracket' }, at(1200)).ok).toBe(true);
    play(engine, 1200, 3000, () => ({}));
    expect(engine.enter({ kind: 'job-resume', job: 'bracket' }, at(3000)).ok).toBe(true);
    play(engine, 3000, 3600, () => ({}));
    const job = only(engine, 3600);
    expect(job.printedMs).toBeGreaterThan(1_170_000);
    expect(job.printedMs).toBeLessThan(1_210_000);
    expect(minutesOut(job, 'pause')).toBeCloseTo(30, 0);
  });
});

describe('what is entered of a job', () => {
  it.each([
    [{ grams: 900 }, 'bad-value', '750'],
    [{ hours: 0 }, 'bad-value', 'hours'],
    [{ spool: 'none' }, 'unknown-name', 'none'],
    [{ station: 'box' }, 'unknown-name', 'chamber'],
    [{ job: 'a b' }, 'bad-value', 'id'],
    [{ settings: { speed: Number.NaN } }, 'bad-value', 'settings'],
  ])('%j is refused as %s', (given, reason, says) => {
    const engine = createEngine(bench);
    play(engine, 0, 60, () => ({}));
    expect(start(engine, 60, given)).toMatchObject({
      ok: false,
      reason,
      detail: expect.stringContaining(says),
    });
    expect(engine.jobs(at(60))).toEqual([]);
  });

  it('an outcome waits for the end, a second job for the first, and a job ends once', () => {
    const engine = createEngine(bench);
    play(engine, 0, 60, () => ({}));
    start(engine, 60);
    expect(start(engine, 70, { job: 'other' }).ok).toBe(false);
    expect(start(engine, 70).ok).toBe(false);
    const outcome = { kind: 'job-outcome', job: 'bracket', outcome: 'warped', note: 'corner lifted' };
    expect(engine.enter(outcome, at(80)).ok).toBe(false);
    expect(engine.enter({ kind: 'job-end', job: 'bracket' }, at(90)).ok).toBe(true);
    expect(engine.enter({ kind: 'job-end', job: 'bracket' }, at(95)).ok).toBe(false);
    expect(engine.enter({ ...outcome, outcome: 'meh' }, at(96)).ok).toBe(false);
    expect(engine.enter(outcome, at(99)).ok).toBe(true);
    const [record] = engine.jobRecords(at(100));
    expect(record).toMatchObject({ state: 'ended', outcome: 'warped' });
    // Told once after its end.
    expect(engine.jobRecords(at(110))).toEqual([]);
  });
});

it('a restart goes on with the job; two attempts are told apart by what differed', () => {
  const engine = createEngine(bench);
  play(engine, 0, 600, () => ({}));
  start(engine, 600);
  play(engine, 600, 2000, () => ({}));
  const again = createEngine(bench, JSON.parse(JSON.stringify(engine.save())));
  play(again, 2000, 4000, () => ({}));
  again.enter({ kind: 'job-end', job: 'bracket' }, at(4000));
  expect(only(again, 4000).measures.chamberC?.count).toBeGreaterThan(300);

  start(again, 4100, { job: 'second', settings: { nozzleC: 275, bed: 'garolite' } });
  play(again, 4100, 8000, (s) => ({ rig: s > 5000 && s < 6500 ? 44 : 55 }));
  again.enter({ kind: 'job-end', job: 'second' }, at(8000));
  const [second, first] = again.jobs(at(8000));
  if (!first || !second) throw new Error('two jobs were expected');
  const differences = compareJobs(first, second);
  expect(differences[0]?.what).toMatchObject({ kind: 'sway', measure: 'chamberC' });
  expect(differences.map(({ what }) => what)).toContainEqual({ kind: 'setting', name: 'nozzleC' });
  expect(differences.map(({ what }) => what)).toContainEqual({
    kind: 'excursion',
    excursion: 'chamber-off',
  });
  expect(differences.map(({ what }) => what)).not.toContainEqual({ kind: 'setting', name: 'bed' });
  expect(compareJobs(first, first)).toEqual([]);
});

describe('a job that waits', () => {
  it('is looked at until it may start, told as news once, and waits no more when it is started', () => {
    const engine = createEngine(bench);
    play(engine, 0, 1800, () => ({}));
    const wait = { kind: 'job-wait', job: 'later', spool: 'gear', grams: 40, hours: 2 };
    expect(engine.enter(wait, at(1800)).ok).toBe(true);
    expect(engine.waitingJobs().map(({ plan }) => plan.id)).toEqual(['later']);
    // At 80 °C in 2 %RH polyamide 12 comes under its limit within a day.
    const told: string[] = [];
    let mayStartS: number | null = null;
    for (let s = 1800; s < 30 * 3600 && told.length === 0; s += 600) {
      play(engine, s, s + 600, () => ({}));
      if (engine.waitingJobs()[0]?.mayStart?.now) mayStartS ??= s + 600;
      const judged = engine.alerts.look(at(s + 600));
      for (const notice of judged?.notices ?? []) if (notice.rule === 'may-start') told.push(notice.reason);
    }
    expect(mayStartS).not.toBeNull();
    expect(told).toEqual(['first']);
    const again = createEngine(bench, JSON.parse(JSON.stringify(engine.save())));
    expect(again.waitingJobs()).toEqual(engine.waitingJobs());
    const start = { ...wait, kind: 'job-start' };
    expect(engine.enter(start, at(31 * 3600)).ok).toBe(true);
    expect(engine.waitingJobs()).toEqual([]);
    expect(engine.enter({ kind: 'job-drop', job: 'later' }, at(31 * 3600 + 10))).toMatchObject({
      ok: false,
      reason: 'unknown-name',
    });
  }, 60_000);
});

describe('a start asked about while the box warms up', () => {
  const ask = { spool: 'gear', chamber: null, chamberC: null, boxC: null, exitOpen: false, tube: null };
  const asked = (t: number) => {
    const engine = createEngine(readDamp());
    play(engine, 0, 60, () => ({ box: { t, rh: 20 } }));
    return engine.startCheck({ ...ask, grams: 600, hours: 20 }, at(60));
  };

  it('is too early to answer in a box that is warm: who heats it is not told to heat it', () => {
    const warm = asked(80);
    expect(warm).toMatchObject({ ok: false, reason: 'no-estimate' });
    expect(!warm.ok && warm.detail).toMatch(/^It is too early to say: the box is warm \(80 °C\)/);
  });

  it('is answered in one that is not: nothing dries the spool', () => {
    expect(asked(23)).toMatchObject({ ok: true, finding: { outcome: 'spool-not-drying' } });
  });
});
