/** What the ruler shows of a job: the window of one that runs, or when one that is asked about may start. Pure. */
import type { JobState } from '../server/api/messages-jobs.ts';
import type { LaneFacts } from './bench-lanes.ts';
import type { PlateProps } from './ruler/plate-props.ts';
import type { StartAsked } from './start-answer.ts';
import { RUNNING, START } from './words/running.ts';

const HOUR = 3_600_000;

export function rulerMarks(
  { stations, clockMs, lostSinceMs, format, narrow }: LaneFacts,
  job: JobState | null,
  asked: StartAsked | null,
): Pick<PlateProps, 'window' | 'start'> {
  if (job) {
    // What is left of it is printed from now on; pauses so far have moved its end.
    const toMs = Math.max(clockMs, clockMs + job.hours * HOUR - job.printedMs);
    const ends = RUNNING.ends(format.about(toMs, clockMs));
    return { window: { fromMs: job.startedMs, toMs, name: job.name, ends } };
  }
  const atMs = asked?.finding.outcome === 'start-later' ? asked.finding.earliestMs : null;
  if (atMs === null || atMs === undefined || atMs <= clockMs || lostSinceMs !== null) return {};
  // No start time stands anywhere while a place it may rest on is quiet.
  if (stations.some((station) => station.quiet && station.role !== 'electronics')) return {};
  const clock = format.about(atMs, clockMs);
  return { start: { atMs, label: narrow ? clock : START.flag(clock) } };
}
