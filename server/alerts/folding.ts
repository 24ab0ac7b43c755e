/**
 * One cause, one alarm: what is only a consequence of another alarm at the same place is frozen while that one holds,
 * so that it says nothing of its own and cannot clear by the way.
 */
import type { AlarmFinding, NewsFinding } from './finding.ts';
import { ruleOf } from './rules.ts';
import type { Subject } from './subjects.ts';

/** `holds`: whether a rule's condition is met, or its alarm stands, at a station. */
export type Holds = (rule: string, station: string) => boolean;

function holderOf({ rule, station }: Subject, holds: Holds): string | null {
  if (station === null) return null;
  return ruleOf(rule).heldBy.find((holder) => holds(holder, station)) ?? null;
}

export function foldAlarm(subject: Subject, finding: AlarmFinding, holds: Holds): AlarmFinding {
  if (finding.kind !== 'met') return finding;
  const by = holderOf(subject, holds);
  return by === null ? finding : { kind: 'held', by };
}

export function foldNews(subject: Subject, finding: NewsFinding, holds: Holds): NewsFinding {
  if (finding.kind !== 'true' && finding.kind !== 'false') return finding;
  const by = holderOf(subject, holds);
  return by === null ? finding : { kind: 'held', by };
}
