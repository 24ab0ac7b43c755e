/**
 * Jobs from start to outcome: entries begin, pause and end them; every ten seconds of steady time a running one is held
 * against its window, with what spools, chambers and stations are known to be.
 */
import type { Instant } from '../clock.ts';
import type { BenchConfig, SpoolConfig } from '../config/bench.ts';
import type { DryingEstimate } from '../estimators/drying/estimate.ts';
import type { Quantiles } from '../estimators/drying/quantiles.ts';
import { endJob, fedG, type Job, type JobOutcome, type JobPlan, startJob } from '../estimators/jobs/job.ts';
import { NOTHING_TAKEN, type Taken, takenOff } from '../estimators/jobs/taken.ts';
import { type JobFacts, watchJob } from '../estimators/jobs/window.ts';
import type { SoakEstimate } from '../estimators/soak/estimate.ts';
import { moistureAt } from '../estimators/start/feed.ts';
import { floorWtPercent } from '../physics/floor.ts';
import { findMaterial, type Material } from '../physics/materials.ts';
import { vapourDensityGPerM3, vapourPressurePa } from '../physics/psychrometrics.ts';
import { SPOOL_HUB_RADIUS_M, spoolOuterRadiusM } from '../physics/spool-pack.ts';
import type { JobRecord, Sample, Transition, UserEntry } from '../records.ts';
import { judgeJobEntry, settingsOf } from './job-entries.ts';
import { fedSamples, jobRecord, shiftedJob } from './job-records.ts';
import type { Entered } from './spool-entries.ts';
import type { StartAnswer } from './start-desk.ts';
import type { SteadyTime } from './steady-time.ts';
import { createWaitingDesk, MOST_WAITING, type WaitingJob } from './waiting-desk.ts';

/** A station's newest air as far as a job needs it. */
export interface AirHeard {
  readonly airC: number | null;
  readonly rhPercent: number | null;
  readonly bedC: number | null;
  readonly quiet: boolean;
}

export interface JobSurroundings {
  air(station: string): AirHeard | null;
  drying(spool: string, at: Instant): DryingEstimate | null;
  soak(station: string, at: Instant): SoakEstimate | null;
  /** P(every turn under the limit) of a job begun now; null where it cannot be told. */
  pSpool(plan: JobPlan, at: Instant): number | null;
  /** Of a job begun now, its chamber counted in. */
  start(plan: JobPlan, at: Instant): StartAnswer;
}

export interface JobDesk {
  judge(entry: UserEntry): Entered;
  enter(entry: UserEntry, at: Instant): Entered & { readonly transitions: readonly Transition[] };
  tick(at: Instant): readonly Transition[];
  /** Running ones, and what has ended since the last call. */
  records(at: Instant): readonly JobRecord[];
  /** Of the turn each running job feeds, for history. */
  samples(at: Instant): readonly Sample[];
  /** Newest first, in wall time. */
  jobs(at: Instant): readonly Job[];
  /** Jobs that wait for spool and chamber. */
  waiting(): readonly WaitingJob[];
  /** What jobs took off a spool since its mass was stated; nothing of one that is not there. */
  taken(spool: string): Taken;
  save(): Readonly<Record<string, Job>>;
  saveWaiting(): Readonly<Record<string, WaitingJob>>;
}

const LOOK_MS = 10_000;
/** Attempts kept in memory; all are kept in the state file. */
const MOST_JOBS = 200;

export function createJobDesk(
  bench: BenchConfig,
  steady: SteadyTime,
  around: JobSurroundings,
  saved: Readonly<Record<string, Job>> = {},
  savedWaiting: Readonly<Record<string, WaitingJob>> = {},
): JobDesk {
  const jobs = new Map<string, Job>(
    Object.values(saved)
      .sort((a, b) => a.startedMs - b.startedMs)
      .map((job) => [job.plan.id, job]),
  );
  const toldEnded = new Set([...jobs.values()].filter(({ state }) => state === 'ended').map(idOf));
  const roomId = bench.stations.find(({ role }) => role === 'room')?.id ?? null;
  let lastLook = Number.NEGATIVE_INFINITY;
  const waiting = createWaitingDesk(steady, around.start, savedWaiting);

  const keep = (job: Job): void => {
    jobs.set(job.plan.id, job);
    const ended = [...jobs.values()].find(({ state }) => state === 'ended');
    if (jobs.size > MOST_JOBS && ended) jobs.delete(ended.plan.id);
  };
  const spoolOf = (id: string): SpoolConfig | undefined => bench.spools.find((spool) => spool.id === id);

  const factsOf = (job: Job, spool: SpoolConfig, material: Material, at: Instant): JobFacts => {
    const box = around.air(spool.station);
    const chamber = job.plan.chamber === null ? null : around.air(job.plan.chamber);
    const soak = job.plan.chamber === null ? null : around.soak(job.plan.chamber, at);
    const room = roomId === null ? null : around.air(roomId);
    const estimate = around.drying(spool.id, at);
    const tolerance = bench.stations.find(({ id }) => id === spool.station)?.rhTolerancePercent ?? Number.NaN;
    return {
      atMs: steady(at),
      chamber:
        job.plan.chamber === null
          ? null
          : {
              airC: chamber?.airC ?? null,
              bedC: chamber?.bedC ?? null,
              settledC: soak?.state === 'steady' ? (chamber?.airC ?? null) : null,
              quiet: chamber?.quiet ?? true,
              doorOpen: soak?.doorOpen ?? false,
            },
      box: {
        airC: box?.airC ?? null,
        rhPercent: box?.rhPercent ?? null,
        vapourGPerM3: vapourOf(box),
        quiet: box?.quiet ?? true,
        equilibrium: equilibriumIn(material, box, tolerance),
      },
      fed: estimate && estimate.state !== 'unknown' ? fedTurn(job, spool, material, estimate) : null,
      room: { airC: room?.airC ?? null, vapourGPerM3: vapourOf(room) },
    };
  };

  const look = (job: Job, at: Instant): Job => {
    const spool = spoolOf(job.plan.spool);
    const found = spool ? findMaterial(spool.material, spool.fibreWtPercent) : null;
    // A spool that is gone from the bench leaves its job running, unwatched.
    if (!spool || !found?.ok) return job;
    return watchJob(job, spool.station, factsOf(job, spool, found.material, at));
  };
  const told = (job: Job, detail: string, at: Instant): Transition => ({
    kind: 'job-state',
    atMs: at.wallMs,
    ...(job.plan.chamber === null ? {} : { station: job.plan.chamber }),
    detail,
  });
  const excursionsTold = (before: Job, after: Job, at: Instant): Transition[] =>
    after.excursions.flatMap((one, i) => {
      const was = before.excursions[i];
      if (was === undefined) return [told(after, `Job ${after.plan.id}: ${one.kind} since a moment.`, at)];
      return was.toMs === null && one.toMs !== null
        ? [told(after, `Job ${after.plan.id}: ${one.kind} is over.`, at)]
        : [];
    });

  const taken = (id: string): Taken => {
    const spool = spoolOf(id);
    return spool ? takenOff(jobs.values(), spool) : NOTHING_TAKEN;
  };
  const judge = (entry: UserEntry) =>
    judgeJobEntry(entry, bench.spools, bench.stations, jobs, (id) => taken(id).g, {
      has: waiting.has,
      full: waiting.jobs().length >= MOST_WAITING,
    });

  return {
    judge,
    enter(entry, at) {
      const judged = judge(entry);
      if (!judged.ok) return { ...judged, transitions: [] };
      const answer = (job: Job, did: string) => {
        keep(job);
        return {
          ok: true as const,
          spools: judged.spools,
          transitions: [told(job, `Job ${job.plan.id} ${did}.`, at)],
        };
      };
      const atMs = steady(at);
      const quietly = { ok: true as const, spools: judged.spools, transitions: [] };
      if (entry.kind === 'job-drop') {
        waiting.drop(String(entry['job']));
        return quietly;
      }
      if (judged.plan && entry.kind === 'job-wait') {
        waiting.add(judged.plan, at);
        return quietly;
      }
      if (judged.plan) {
        const { plan } = judged;
        waiting.drop(plan.id);
        const spool = spoolOf(plan.spool) as SpoolConfig;
        const found = findMaterial(spool.material, spool.fibreWtPercent);
        const job = startJob(plan, atMs, {
          referenceC: plan.chamberC,
          limitWtPercent:
            spool.limitWtPercent ?? (found.ok ? found.material.printingLimitWtPercent : Number.NaN),
          statedNetMassG: spool.netMassG,
          takenBeforeG: taken(plan.spool).g,
          pSpoolAtStart: around.pSpool(plan, at),
        });
        return answer(job, 'has started');
      }
      const job = look(jobs.get(String(entry['job'])) as Job, at);
      switch (entry.kind) {
        case 'job-pause':
          return answer({ ...job, state: 'paused' }, 'is paused');
        case 'job-resume':
          return answer({ ...job, state: 'running' }, 'goes on');
        case 'job-end':
          return answer(endJob(job, atMs), 'has ended');
        default:
          return answer(
            {
              ...job,
              verdict: { outcome: entry['outcome'] as JobOutcome, note: String(entry['note'] ?? '') },
              plan: {
                ...job.plan,
                settings: { ...job.plan.settings, ...(settingsOf(entry['settings'] ?? {}) ?? {}) },
              },
            },
            `was called ${String(entry['outcome'])}`,
          );
      }
    },
    tick(at) {
      const slot = Math.floor(steady(at) / LOOK_MS);
      if (slot === lastLook) return [];
      lastLook = slot;
      waiting.tick(at);
      const transitions: Transition[] = [];
      for (const job of [...jobs.values()]) {
        if (job.state === 'ended') continue;
        const after = look(job, at);
        transitions.push(...excursionsTold(job, after, at));
        jobs.set(job.plan.id, after);
      }
      return transitions;
    },
    records(at) {
      const shiftMs = at.wallMs - steady(at);
      return [...jobs.values()].flatMap((job) => {
        if (toldEnded.has(job.plan.id)) return [];
        if (job.state === 'ended') toldEnded.add(job.plan.id);
        return [jobRecord(shiftedJob(job, shiftMs), at.wallMs)];
      });
    },
    samples(at) {
      return [...jobs.values()].flatMap((job) => {
        const station = spoolOf(job.plan.spool)?.station;
        if (job.state !== 'running' || !job.fedWtPercent || station === undefined) return [];
        return fedSamples(job, station, at.wallMs);
      });
    },
    jobs(at) {
      const shiftMs = at.wallMs - steady(at);
      return [...jobs.values()].reverse().map((job) => shiftedJob(job, shiftMs));
    },
    taken,
    waiting: waiting.jobs,
    save: () => Object.fromEntries(jobs),
    saveWaiting: waiting.save,
  };
}

const idOf = (job: Job): string => job.plan.id;

const vapourOf = (air: AirHeard | null): number | null =>
  air?.airC == null || air.rhPercent === null || air.rhPercent < 0
    ? null
    : vapourDensityGPerM3(air.airC, vapourPressurePa(air.airC, air.rhPercent));

/** What the filament would take on if it lay in this air for good; the dry end of the tolerance as well. */
function equilibriumIn(
  material: Material,
  air: AirHeard | null,
  rhTolerancePercent: number,
): JobFacts['box']['equilibrium'] {
  if (air?.airC == null || air.rhPercent === null) return null;
  const { airC } = air;
  const at = (rhPercent: number): number =>
    floorWtPercent(
      material.reduced,
      material.netSorptionEnthalpyKJPerMol,
      airC,
      vapourPressurePa(airC, Math.min(100, Math.max(0, rhPercent))),
    );
  return { likely: at(air.rhPercent), atLeast: at(air.rhPercent - rhTolerancePercent) };
}

/** Moisture of the turn that leaves now, from the outside in. */
function fedTurn(
  job: Job,
  spool: SpoolConfig,
  material: Material,
  estimate: DryingEstimate,
): Quantiles | null {
  const profile = estimate.profileWtPercent;
  if (profile.length < 2) return null;
  const shares = ringShares(profile.length, spool.netMassG, material.densityKgPerM3);
  const share = Math.min(1, (job.takenBeforeG + fedG(job)) / spool.netMassG);
  const at = (name: keyof Quantiles): number =>
    moistureAt(
      share,
      profile.map((shell) => shell[name]),
      shares,
    );
  return { p05: at('p05'), p50: at('p50'), p95: at('p95') };
}

/** Of shells of equal depth from hub to outside, how much of the filament each holds. */
function ringShares(shells: number, netMassG: number, densityKgPerM3: number): number[] {
  const outerM = spoolOuterRadiusM(netMassG / 1000, densityKgPerM3);
  const stepM = (outerM - SPOOL_HUB_RADIUS_M) / shells;
  const whole = outerM ** 2 - SPOOL_HUB_RADIUS_M ** 2;
  return Array.from({ length: shells }, (_, i) => {
    const innerM = SPOOL_HUB_RADIUS_M + i * stepM;
    return ((innerM + stepM) ** 2 - innerM ** 2) / whole;
  });
}
