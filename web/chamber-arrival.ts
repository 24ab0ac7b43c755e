/** Where a chamber's lane says when: steady on the way up, cool enough to open on the way down. Pure. */
import type { ChamberState } from '../server/api/messages-chamber.ts';
import type { LaneFacts } from './bench-lanes.ts';
import type { Arrival, LaneLine, Rails } from './ruler/lane-spec.ts';
import { valueNear } from './ruler/sample-near.ts';
import { type TimeWhen, timeWhen } from './time-when.ts';
import { CHAMBER_LANE } from './words/chamber.ts';

export interface AheadPoint {
  readonly atMs: number;
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

/** When it is steady, on the lower rail; while it cools, when it may be opened, on its way down. */
export function chamberArrival(
  facts: LaneFacts,
  chamber: ChamberState,
  rails: Rails | null,
  air: LaneLine | undefined,
  ahead: readonly AheadPoint[],
): Arrival | null {
  const { format, clockMs } = facts;
  const say = (atMs: number): string => format.about(atMs, clockMs);
  const past = (atMs: number, value: number, mark: Arrival['mark'], label: string): Arrival => ({
    ...{
      value,
      mark,
      words: 'below',
      fromMs: atMs,
      ringMs: atMs,
      toMs: atMs,
      label,
      fromLabel: label,
      sub: '',
    },
  });
  const coming = (
    when: TimeWhen,
    value: number,
    mark: Arrival['mark'],
    at: (clock: string) => string,
    from: (clock: string) => string,
  ): Arrival | null => {
    if (when.kind === 'beyond' || when.kind === 'no-run') return null;
    const open = when.kind === 'from';
    const fromLabel = from(say(when.p05Ms));
    return {
      ...{ value, mark, words: 'below', fromMs: when.p05Ms, ringMs: when.p50Ms, fromLabel },
      toMs: open ? null : when.p95Ms,
      label: when.p50Ms === null ? fromLabel : at(say(when.p50Ms)),
      sub: open
        ? CHAMBER_LANE.openRange(say(when.p05Ms), when.open)
        : format.aboutRange(when.p05Ms, when.p95Ms, clockMs),
    };
  };
  if (chamber.state === 'cooling') {
    const { p50: openMs, p95: surelyMs } = chamber.openAtMs;
    if (openMs !== null && surelyMs !== null && surelyMs <= clockMs) {
      const value = air && valueNear(air, openMs);
      return value == null
        ? null
        : past(openMs, value, 'none', CHAMBER_LANE.openSince(format.when(openMs, clockMs)));
    }
    // Likely cool enough, but not yet surely so: what counts is when it surely is.
    const likely = openMs !== null && openMs <= clockMs;
    const openAtMs = likely ? { ...chamber.openAtMs, p50: surelyMs } : chamber.openAtMs;
    const when = timeWhen(openAtMs, chamber.openAtReason, clockMs);
    const atMs = openAtMs.p50 ?? openAtMs.p05;
    const there = ahead.find((point) => atMs !== null && point.atMs >= atMs) ?? ahead.at(-1);
    return there
      ? coming(when, format.shownTemperature(there.p50), 'none', CHAMBER_LANE.openAt, CHAMBER_LANE.openFrom)
      : null;
  }
  if (!rails) return null;
  const since = chamber.steadySinceMs;
  if (since !== null)
    return past(since, rails.low, 'rails', CHAMBER_LANE.steadySince(format.when(since, clockMs)));
  const when = timeWhen(chamber.steadyAtMs, chamber.steadyAtReason, clockMs);
  return coming(when, rails.low, 'rails', CHAMBER_LANE.steadyAt, CHAMBER_LANE.steadyFrom);
}
