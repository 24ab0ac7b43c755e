/** What jobs took off a spool: counted, put back where it is weighed, and where the next job begins. */
import { beforeAll, describe, expect, it } from 'vitest';
import { readBench } from '../../server/config/read-bench.ts';
import { tellsWater, weighedWhole } from '../../server/desks/taken-filament.ts';
import { createEngine, type Engine } from '../../server/engine.ts';
import { endJob, type Job, type JobPlan, startJob } from '../../server/estimators/jobs/job.ts';
import { NOTHING_TAKEN, takenOff } from '../../server/estimators/jobs/taken.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';

const H = 3_600_000;
const PLAN: JobPlan = {
  id: 'one',
  name: 'one',
  spool: 'gear',
  chamber: null,
  grams: 120,
  hours: 4,
  chamberC: null,
  exitOpen: false,
  settings: {},
};
const SPOOL = { id: 'gear', netMassG: 750 };
/** A job that has printed for some of its four hours. */
const printed = (hours: number, parts: Partial<Job> = {}): Job => ({
  ...startJob(PLAN, 0, {
    referenceC: null,
    limitWtPercent: 0.1,
    pSpoolAtStart: null,
    statedNetMassG: 750,
    takenBeforeG: 0,
  }),
  printedMs: hours * H,
  ...parts,
});

describe('what jobs took', () => {
  it('is the grams stated for each, by the time it printed, and a running job’s whole plan for the next', () => {
    const jobs = [endJob(printed(4), 4 * H), endJob(printed(1), 9 * H), printed(2, { startedMs: 10 * H })];
    expect(takenOff(jobs, SPOOL)).toEqual({ g: 210, plannedG: 270, jobs: 3, newestMs: 10 * H });
  });

  it('leaves out other spools, and jobs on a spool that was stated anew since', () => {
    const jobs = [printed(4, { plan: { ...PLAN, spool: 'other' } }), printed(4, { statedNetMassG: 1000 })];
    expect(takenOff(jobs, SPOOL)).toEqual(NOTHING_TAKEN);
  });

  it('is never more than there was', () => {
    const jobs = Array.from({ length: 9 }, () => endJob(printed(4), 4 * H));
    expect(takenOff(jobs, SPOOL)).toMatchObject({ g: 750, plannedG: 750 });
  });
});

describe('what is weighed after a job', () => {
  const event = { kind: 'weigh-in', atMs: 0, massG: 800, resolutionG: 1 } as const;
  it('gets the job’s grams back, as surely as a slicer knows them', () => {
    // An sd of 5 % of 120 g is 6 g: half a step of 12 g.
    expect(weighedWhole(event, { g: 120, plannedG: 120, jobs: 1, newestMs: 0 })).toEqual({
      ...event,
      massG: 920,
      resolutionG: 12,
    });
    expect(weighedWhole(event, NOTHING_TAKEN)).toEqual(event);
  });

  it('a scale tells water only in a run that no job has disturbed', () => {
    const taken = { g: 120, plannedG: 120, jobs: 1, newestMs: 5 * H };
    expect(tellsWater(4 * H, taken)).toBe(false);
    expect(tellsWater(6 * H, taken)).toBe(true);
    expect(tellsWater(null, taken)).toBe(false);
    expect(tellsWater(null, NOTHING_TAKEN)).toBe(true);
  });
});

describe('on a bench', () => {
  const reading = readBench(
    `[[source]]
id = "usb"
stdin = true
[[station]]
id = "box"
role = "drybox"
[[spool]]
id = "gear"
station = "box"
material = "pa12"
net_mass_g = 750
stored = "desiccant"
`,
    null,
    { materials: MATERIAL_KEYS, things: [] },
  );
  if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
  const T0 = Date.UTC(2026, 10, 25, 9, 0, 0);
  const at = (s: number) => ({ wallMs: T0 + s * 1000, monotonicMs: s * 1000 });
  const engine: Engine = createEngine(reading.bench);
  const play = (from: number, to: number): void => {
    for (let s = from; s < to; s += 30) {
      engine.tick(at(s));
      const values = { t: 80, rh: 2 };
      engine.accept(
        'usb',
        { kind: 'reading', station: 'box', boot: '0a1b', seq: s, uptimeMs: s * 1000, values, faults: {} },
        true,
        at(s),
      );
    }
  };
  const start = (job: string, grams: number, s: number) =>
    engine.enter({ kind: 'job-start', job, spool: 'gear', grams, hours: 1 }, at(s));
  const ask = { spool: 'gear', chamber: null, chamberC: null, boxC: null, exitOpen: false, tube: null };
  const reasonsAt = (s: number) => {
    const answer = engine.startCheck({ ...ask, grams: 100, hours: 2 }, at(s));
    return answer.ok ? answer.finding.reasons : [];
  };
  const spoolAt = (s: number) => engine.spoolViews(at(s))[0]!;

  beforeAll(() => {
    play(0, 6000);
    start('first', 300, 6000);
    play(6000, 9600);
  });

  it('a running job counts as far as it has come, its whole plan in the next check; an ended one as it was', () => {
    const before = createEngine(reading.bench);
    expect(before.spoolViews(at(0))[0]!.taken.g).toBe(0);
    expect(spoolAt(9600).taken.g).toBeGreaterThan(290);
    expect(reasonsAt(7800).find(({ kind }) => kind === 'filament-taken')).toMatchObject({ takenG: 300 });
    engine.enter({ kind: 'job-end', job: 'first' }, at(9600));
    const { taken, estimate } = spoolAt(9600);
    expect(taken.g).toBeCloseTo(300, 0);
    // Of 750 g no more than what is left can be usable, and the estimate says what it counts from.
    expect(estimate!.readyOuterG.p95).toBeLessThanOrEqual(750 - taken.g + 1e-9);
    expect(estimate!.assumptions.at(-1)).toContain('300 g from the outside went into a job');
  });

  it('the next job begins there: it is refused what is gone, and feeds deeper turns', () => {
    const refused = start('second', 460, 9600);
    expect(refused).toMatchObject({
      ok: false,
      detail: expect.stringContaining('holds 450 g: 750 g as stated'),
    });
    expect(start('second', 400, 9600).ok).toBe(true);
    play(9600, 9900);
    const second = engine.jobs(at(9900)).find(({ plan }) => plan.id === 'second')!;
    const first = engine.jobs(at(9900)).find(({ plan }) => plan.id === 'first')!;
    expect(second.takenBeforeG).toBeCloseTo(300, 0);
    // Dried from outside, a spool is wetter further in: its first turn lies where the first job's last one did.
    const estimate = spoolAt(9900).estimate!;
    const outermost = estimate.profileWtPercent.at(-1)!;
    expect(second.fedWtPercent!.p50).toBeGreaterThan(outermost.p50);
    expect(Math.abs(second.fedWtPercent!.p50 - first.fedWtPercent!.p50)).toBeLessThan(
      0.25 * first.fedWtPercent!.p50,
    );
  });
});
