/** The answer while a start is asked about: when the job may begin leads, what it rests on follows. Pure. */
import type { StartFindingWire } from '../server/api/messages-jobs.ts';
import type { Format } from './format.ts';
import type { Piece } from './pieces.ts';
import type { SpoolAnswer } from './spool-answer.ts';
import { grams } from './usable.ts';
import { START } from './words/running.ts';

/** A job as it is asked about, with what was found of it. */
export interface StartAsked {
  /** As the user calls it; null: it has no name. */
  readonly name: string | null;
  readonly spool: string;
  readonly finding: StartFindingWire;
}

/** Puts the start before what is known of spool and chamber; what stands in its way stays as it is. */
export function withStart(
  answer: SpoolAnswer,
  { name, finding }: StartAsked,
  nowMs: number,
  format: Format,
): SpoolAnswer {
  const job = name === null ? START.theJob : START.named(name);
  const { outcome, earliestMs, bedOnByMs } = finding;
  const short = finding.reasons.find((reason) => reason.kind === 'spool-short');
  if (short)
    return { ...answer, tell: [...answer.tell, START.short(grams(short.hasG), grams(short.needsG))] };
  if (outcome === 'start-now') return { ...answer, say: [START.now(job)] };
  if (outcome !== 'start-later' || earliestMs === null) return answer;
  const bed: Piece[] =
    bedOnByMs === null || bedOnByMs <= nowMs ? [] : [START.bedBy(format.about(bedOnByMs, nowMs))];
  return {
    ...answer,
    say: START.at(job, format.about(Math.max(nowMs, earliestMs), nowMs)),
    tell: [...answer.tell, ...bed],
  };
}
