/** The alarms of a snapshot, sorted for the eye. */
import type { Alert } from '../../server/api/messages-alerts.ts';
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
export function countText(alarms: readonly Alert[]): string {
  const parts = COUNTED.flatMap((face) => {
    const amount = alarms.filter((alarm) => faceOf(alarm) === face).length;
    return amount === 0 ? [] : [ALERTS.count(amount, face)];
  });
  return parts.length === 0 ? ALERTS.none : parts.join(', ');
}
