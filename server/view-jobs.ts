/** Jobs and the start check in wire shape. */
import type { JobState, StartFindingWire, StartQuery } from './api/messages-jobs.ts';
import type { JobsView } from './api/routes-jobs.ts';
import type { Clock } from './clock.ts';
import type { StartAsk } from './desks/start-desk.ts';
import type { Engine } from './engine.ts';
import { compareJobs } from './estimators/jobs/compare.ts';
import { fedG, type Job } from './estimators/jobs/job.ts';
import { CHAMBER_BAND_C, sdOf } from './estimators/jobs/window.ts';

/** Filament that stands in a tube is taken as having stood long, where nothing is said. */
const LONG_STANDING_MIN = 10_000;

export function askOf(query: StartQuery): StartAsk {
  return {
    spool: query.spool,
    chamber: query.chamber ?? null,
    grams: query.grams,
    hours: query.hours,
    ...(query.sure === undefined ? {} : { sure: query.sure }),
    chamberC: query.chamberC ?? null,
    boxC: query.boxC ?? null,
    exitOpen: query.exitOpen ?? false,
    tube:
      query.tubeM === undefined
        ? null
        : {
            lengthM: query.tubeM,
            dry: query.tubeDry ?? false,
            standingMin: query.tubeStoodMin ?? LONG_STANDING_MIN,
          },
  };
}

export function jobsView(engine: Engine, clock: Clock): JobsView {
  return {
    start(query) {
      const answer = engine.startCheck(askOf(query), clock.now());
      return answer.ok
        ? {
            ok: true,
            finding: { ...answer.finding, reasons: [...answer.finding.reasons] } as StartFindingWire,
          }
        : answer;
    },
    chances(query) {
      const answer = engine.startChances(askOf(query), clock.now());
      return answer.ok
        ? { ok: true, chances: { ...answer.chances, chances: [...answer.chances.chances] } }
        : answer;
    },
    jobs: () => engine.jobs(clock.now()).map(wireJob),
    waiting: () =>
      engine.waitingJobs().map(({ plan: { settings: _, ...plan }, mayStart }) => ({ ...plan, mayStart })),
    compare(left, right) {
      const jobs = engine.jobs(clock.now());
      const [a, b] = [left, right].map((id) => jobs.find(({ plan }) => plan.id === id));
      return a && b ? [...compareJobs(a, b)] : null;
    },
  };
}

export function wireJob(job: Job): JobState {
  const { plan, verdict } = job;
  return {
    ...plan,
    settings: { ...plan.settings },
    state: job.state,
    startedMs: job.startedMs,
    endedMs: job.endedMs,
    atMs: job.atMs,
    printedMs: job.printedMs,
    fedG: fedG(job),
    takenBeforeG: job.takenBeforeG,
    referenceC: job.referenceC,
    bandC: CHAMBER_BAND_C,
    limitWtPercent: job.limitWtPercent,
    pSpoolAtStart: job.pSpoolAtStart,
    fedWtPercent: job.fedWtPercent,
    excursions: [...job.excursions],
    measures: Object.fromEntries(
      Object.entries(job.measures).map(([key, t]) => [
        key,
        { mean: t.sum / t.count, sd: sdOf(t), min: t.min, max: t.max },
      ]),
    ),
    outcome: verdict?.outcome ?? null,
    note: verdict?.note ?? '',
  };
}
