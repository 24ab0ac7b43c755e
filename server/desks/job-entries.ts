/** What a person enters of a job: judged before it counts. */
import type { SpoolConfig, StationConfig } from '../config/bench.ts';
import { type Job, type JobOutcome, type JobPlan, OUTCOMES } from '../estimators/jobs/job.ts';
import type { UserEntry } from '../records.ts';
import type { Entered } from './spool-entries.ts';

export const JOB_ENTRIES: ReadonlySet<string> = new Set([
  'job-wait',
  'job-drop',
  'job-start',
  'job-pause',
  'job-resume',
  'job-end',
  'job-outcome',
]);

export type JobEntered =
  | { readonly ok: true; readonly spools: readonly string[]; readonly plan: JobPlan | null }
  | (Entered & { readonly ok: false });

const ID = /^[A-Za-z0-9_-]{1,32}$/;
/** Free facts of an attempt: more than this is a document, not a setting. */
const MOST_SETTINGS = 40;
const LONGEST_WORD = 80;
export const LONGEST_NOTE = 1000;

const isPositive = (value: unknown, most: number): value is number =>
  typeof value === 'number' && Number.isFinite(value) && value > 0 && value <= most;

export function judgeJobEntry(
  entry: UserEntry,
  spools: readonly SpoolConfig[],
  stations: readonly StationConfig[],
  jobs: ReadonlyMap<string, Job>,
  takenG: (spool: string) => number,
  waiting: { has(id: string): boolean; readonly full: boolean },
): JobEntered {
  const refuse = (reason: (Entered & { ok: false })['reason'], detail: string): JobEntered => ({
    ok: false,
    reason,
    detail,
  });
  const id = entry['job'];
  if (typeof id !== 'string' || !ID.test(id))
    return refuse('bad-value', 'job is the job’s id: 1 to 32 letters, digits, _ or -.');
  const job = jobs.get(id);
  if (entry.kind === 'job-wait' && waiting.full && !waiting.has(id))
    return refuse('bad-value', 'Too many jobs wait already: drop one first.');
  if (entry.kind === 'job-start' || entry.kind === 'job-wait')
    return judgeStart(entry, id, spools, stations, jobs, takenG, refuse);
  if (entry.kind === 'job-drop')
    return waiting.has(id)
      ? { ok: true, spools: [], plan: null }
      : refuse('unknown-name', `No job called "${id}" waits.`);
  if (!job) return refuse('unknown-name', `No job is called "${id}".`);
  const takes: JobEntered = { ok: true, spools: [job.plan.spool], plan: null };
  if (entry.kind === 'job-outcome') {
    if (!OUTCOMES.includes(entry['outcome'] as JobOutcome))
      return refuse('bad-value', `outcome is one of ${OUTCOMES.join(', ')}.`);
    const note = entry['note'] ?? '';
    if (typeof note !== 'string' || note.length > LONGEST_NOTE)
      return refuse('bad-value', `note is a text of at most ${LONGEST_NOTE} characters.`);
    if (job.state !== 'ended') return refuse('bad-value', `Job "${id}" still runs: end it first.`);
    const settings = settingsOf(entry['settings'] ?? {});
    return settings === null ? refuse('bad-value', SETTINGS_SAY) : takes;
  }
  if (job.state === 'ended') return refuse('bad-value', `Job "${id}" has ended.`);
  if (entry.kind === 'job-pause' && job.state === 'paused')
    return refuse('bad-value', `Job "${id}" is paused already.`);
  if (entry.kind === 'job-resume' && job.state === 'running')
    return refuse('bad-value', `Job "${id}" is running already.`);
  return takes;
}

const SETTINGS_SAY = `settings are at most ${MOST_SETTINGS} names, each with a number or a text of at most ${LONGEST_WORD} characters.`;

function judgeStart(
  entry: UserEntry,
  id: string,
  spools: readonly SpoolConfig[],
  stations: readonly StationConfig[],
  jobs: ReadonlyMap<string, Job>,
  takenG: (spool: string) => number,
  refuse: (reason: (Entered & { ok: false })['reason'], detail: string) => JobEntered,
): JobEntered {
  if (jobs.has(id)) return refuse('bad-value', `There is a job "${id}" already: give it another id.`);
  const spool = spools.find((one) => one.id === entry['spool']);
  if (!spool) return refuse('unknown-name', `No spool is called "${String(entry['spool'] ?? '')}".`);
  const running = [...jobs.values()].find((job) => job.plan.spool === spool.id && job.state !== 'ended');
  if (running)
    return refuse('bad-value', `Job "${running.plan.id}" still runs on spool "${spool.id}": end it first.`);
  const chamber = entry['station'] ?? null;
  if (chamber !== null && !stations.some((one) => one.id === chamber && one.role === 'chamber'))
    return refuse('unknown-name', `No chamber is called "${String(chamber)}".`);
  const { grams, hours } = entry;
  if (!isPositive(grams, 50_000)) return refuse('bad-value', 'grams is what the job takes, 0–50000 g.');
  const leftG = Math.round(spool.netMassG - takenG(spool.id));
  if (grams > leftG)
    return refuse(
      'bad-value',
      `The job takes ${grams} g and spool "${spool.id}" holds ${leftG} g${leftG < Math.round(spool.netMassG) ? `: ${Math.round(spool.netMassG)} g as stated, less what jobs took` : ''}.`,
    );
  if (!isPositive(hours, 240)) return refuse('bad-value', 'hours is how long it prints, 0–240 h.');
  const chamberC = entry['chamberC'] ?? null;
  if (chamberC !== null && !isPositive(chamberC, 200))
    return refuse('bad-value', 'chamberC is the air wanted in the chamber, 0–200 °C.');
  const exitOpen = entry['exitOpen'] ?? false;
  if (typeof exitOpen !== 'boolean') return refuse('bad-value', 'exitOpen is true or false.');
  const name = entry['name'] ?? id;
  if (typeof name !== 'string' || name.trim() === '' || name.length > LONGEST_WORD)
    return refuse('bad-value', `name is a text of at most ${LONGEST_WORD} characters.`);
  const settings = settingsOf(entry['settings'] ?? {});
  if (settings === null) return refuse('bad-value', SETTINGS_SAY);
  return {
    ok: true,
    spools: [spool.id],
    plan: {
      id,
      name: name.trim(),
      spool: spool.id,
      chamber: chamber as string | null,
      grams,
      hours,
      chamberC,
      exitOpen,
      settings,
    },
  };
}

/** Null where they are no settings. */
export function settingsOf(value: unknown): Readonly<Record<string, string | number>> | null {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return null;
  const rows = Object.entries(value);
  if (rows.length > MOST_SETTINGS) return null;
  const fits = ([name, one]: [string, unknown]): boolean =>
    name.length > 0 &&
    name.length <= LONGEST_WORD &&
    ((typeof one === 'number' && Number.isFinite(one)) ||
      (typeof one === 'string' && one.length <= LONGEST_WORD));
  return rows.every(fits) ? (value as Record<string, string | number>) : null;
}
