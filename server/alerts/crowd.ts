/**
 * A thousand alarms at once are one message, not a thousand: beyond a few, notices are gathered for a minute and told
 * as one that says how many there are and names the most pressing. Nothing is left out of the list and the history.
 */
import type { Notice, Priority } from '../records.ts';
import { utcText } from '../utc.ts';

export interface Crowd {
  /** How many may still be told one by one. */
  readonly allowance: number;
  readonly highAllowance: number;
  readonly gathered: {
    readonly count: number;
    readonly high: number;
    readonly sinceMs: number;
    /** Steady time since the first of them. */
    readonly agoMs: number;
    readonly headlines: readonly string[];
  } | null;
}

/** A bad evening has a handful; a person reads no more than this one by one. */
const MOST_ONE_BY_ONE = 10;
/** What is pressing has an allowance of its own. */
const MOST_HIGH_ONE_BY_ONE = 20;
/** One more may be told after each of these. */
const REFILL_MS = 60_000;
const GATHER_MS = 60_000;
/** Named in the text of a gathered notice. */
const MOST_NAMED = 8;

export const NO_CROWD: Crowd = {
  allowance: MOST_ONE_BY_ONE,
  highAllowance: MOST_HIGH_ONE_BY_ONE,
  gathered: null,
};

export const GATHERED_RULE = 'many-at-once';

export function gather(
  crowd: Crowd,
  notices: readonly Notice[],
  elapsedMs: number,
  nowMs: number,
): { readonly crowd: Crowd; readonly told: readonly Notice[] } {
  let allowance = Math.min(MOST_ONE_BY_ONE, crowd.allowance + elapsedMs / REFILL_MS);
  let highAllowance = Math.min(MOST_HIGH_ONE_BY_ONE, crowd.highAllowance + elapsedMs / REFILL_MS);
  let gathered = crowd.gathered && { ...crowd.gathered, agoMs: crowd.gathered.agoMs + elapsedMs };
  const told: Notice[] = [];
  for (const notice of notices) {
    const high = notice.priority === 'high';
    if (high ? highAllowance >= 1 : allowance >= 1) {
      if (high) highAllowance--;
      else allowance--;
      told.push(notice);
      continue;
    }
    const so = gathered ?? { count: 0, high: 0, sinceMs: nowMs, agoMs: 0, headlines: [] };
    gathered = {
      ...so,
      count: so.count + 1,
      high: so.high + (high ? 1 : 0),
      headlines:
        so.headlines.length >= MOST_NAMED
          ? so.headlines
          : high
            ? [notice.headline, ...so.headlines]
            : [...so.headlines, notice.headline],
    };
  }
  if (gathered && gathered.agoMs >= GATHER_MS) {
    told.push(gatheredNotice(gathered, nowMs));
    gathered = null;
  }
  return { crowd: { allowance, highAllowance, gathered }, told };
}

function gatheredNotice({ count, high, headlines }: NonNullable<Crowd['gathered']>, nowMs: number): Notice {
  const priority: Priority = high > 0 ? 'high' : 'medium';
  const more = count - headlines.length;
  return {
    id: `${GATHERED_RULE}:${Math.round(nowMs)}`,
    at: utcText(nowMs),
    rule: GATHERED_RULE,
    kind: 'alarm',
    priority,
    station: null,
    reason: 'first',
    headline: `${count} more messages within a minute${high > 0 ? `, ${high} of them pressing` : ''}.`,
    text: `${headlines.join(' ')}${more > 0 ? ` And ${more} more.` : ''}`,
    advice: 'See the list of alarms; one cause may stand behind them: a cable, a hub, the power.',
    number: { label: 'messages', value: count, low: null, high: null, unit: '' },
  };
}
