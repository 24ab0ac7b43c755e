/** The alarms of a snapshot, sorted for the eye. */

import type { StationState } from '../../server/api/messages.ts';
import type { Alert } from '../../server/api/messages-alerts.ts';
import { nameIn } from '../stations.ts';
import { ALERTS } from '../words/alerts.ts';

/** What the eye sees first of an alarm: a shelf outweighs its state. */
export type Face = Alert['state'] | 'shelved';
export const faceOf = ({ shelf, state }: Alert): Face => (shelf ? 'shelved' : state);

export const alarmsOf = (alerts: readonly Alert[]): Alert[] =>
  alerts.filter(({ kind, state, shelf }) => kind === 'alarm' && (state !== 'normal' || shelf !== null));

export const newsOf = (alerts: readonly Alert[]): Alert[] => alerts.filter(({ kind }) => kind === 'news');

/** A person is needed now: pressing, not seen, not put aside. */
export const pressing = (alerts: readonly Alert[]): Alert[] =>
  alerts.filter(
    ({ kind, priority, state, shelf }) =>
      kind === 'alarm' && priority === 'high' && state === 'active' && shelf === null,
  );

/**
 * What the answer says already and no alarm does yet, for it has to last a while first: a list that says "none" beside
 * it would gainsay it.
 */
export function comingAlarms(stations: readonly StationState[], alarms: readonly Alert[]): string[] {
  const told = (station: StationState, ...rules: readonly string[]): boolean =>
    alarms.some(({ rule, station: at }) => rules.includes(rule) && (at === null || at === station.id));
  return stations.flatMap((station) => {
    if (station.quiet)
      // One of which nothing was ever heard has nothing to fall silent of.
      return station.heardMs === null || told(station, 'board-quiet', 'station-quiet')
        ? []
        : [ALERTS.comingQuiet(nameIn(stations, station))];
    return station.ceiling?.outcome !== 'passed' || told(station, 'ceiling-passed')
      ? []
      : [ALERTS.comingHot(nameIn(stations, station))];
  });
}

export const standingAt = (alerts: readonly Alert[], station: string): Alert[] =>
  alerts.filter(
    (alert) =>
      alert.kind === 'alarm' &&
      alert.station === station &&
      alert.shelf === null &&
      (alert.state === 'active' || alert.state === 'acknowledged'),
  );

const COUNTED: readonly Face[] = ['active', 'acknowledged', 'returned', 'shelved'];

/** "1 active, 2 over". */
export function countText(alarms: readonly Alert[], coming = false): string {
  const parts = COUNTED.flatMap((face) => {
    const amount = alarms.filter((alarm) => faceOf(alarm) === face).length;
    return amount === 0 ? [] : [ALERTS.count(amount, face)];
  });
  return parts.length === 0 ? (coming ? ALERTS.noneYet : ALERTS.none) : parts.join(', ');
}
