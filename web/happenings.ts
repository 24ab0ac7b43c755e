/** What happened at a place in the span shown: lids and doors seen in its air or typed, and its alarms. Pure. */
import type { Alert } from '../server/api/messages-alerts.ts';
import { faceOf } from './alerts/alert-list.ts';
import type { LaneFacts } from './bench-lanes.ts';
import { OPENED } from './lane-series.ts';
import type { Happening } from './ruler/lane-spec.ts';
import { ALERTS } from './words/alerts.ts';
import { PLATE } from './words/bench.ts';

/** Of the span: so near to a mark it is read out. */
const NEAR_SHARE = 1 / 100;
/** An opening that a job tells of already, with its length, is not marked twice. */
const SAME_MS = 180_000;

export function happeningsAt(
  { series, range, stations, clockMs, format }: LaneFacts,
  station: string | null,
  alerts: readonly Alert[],
  told: readonly { readonly atMs: number }[] = [],
): readonly Happening[] {
  const place = stations.find(({ id }) => id === station);
  if (!place) return [];
  const what = place.role === 'chamber' ? PLATE.doorOpened : PLATE.lidOpened;
  const nearMs = NEAR_SHARE * (range.toMs - range.fromMs);
  let lastMs = Number.NEGATIVE_INFINITY;
  const opened = (series.get(place.id, OPENED)?.atMs ?? []).filter((at) => {
    // One mark stands for those that would lie on each other.
    if (at - lastMs < nearMs || told.some(({ atMs }) => Math.abs(at - atMs) <= SAME_MS)) return false;
    lastMs = at;
    return true;
  });
  return [
    ...opened.map((atMs) => ({ atMs, nearMs, isAlarm: false, words: what(format.when(atMs, clockMs)) })),
    ...alerts.flatMap((alert) =>
      alert.kind === 'alarm' && alert.station === place.id && alert.sinceMs !== null
        ? [
            {
              atMs: alert.sinceMs,
              nearMs,
              isAlarm: true,
              words: `${format.when(alert.sinceMs, clockMs)}: ${ALERTS.rule(alert.title, faceOf(alert))}`,
            },
          ]
        : [],
    ),
  ]
    .filter(({ atMs }) => atMs >= range.fromMs && atMs <= range.toMs)
    .sort((a, b) => a.atMs - b.atMs);
}
