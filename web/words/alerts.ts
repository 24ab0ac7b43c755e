/** Words of alarms and news. What an alarm itself says comes from lowdew; here is what stands around it. */
import type { Alert } from '../../server/api/messages-alerts.ts';
import { capital } from './ground.ts';

/** Mark and word of each state: told apart without colour. */
export const MARKS: Record<Alert['state'] | 'shelved', string> = {
  active: '▲',
  acknowledged: '△',
  returned: '▽',
  shelved: '❙❙',
  normal: '▽',
  true: '○',
  withdrawn: '×',
};

export const STATES: Record<Alert['state'] | 'shelved', string> = {
  active: 'active',
  acknowledged: 'acknowledged',
  returned: 'over',
  shelved: 'shelved',
  normal: 'over',
  true: 'news',
  withdrawn: 'withdrawn',
};

const URGENCY: Record<Alert['priority'], string> = {
  high: 'now',
  medium: 'within the hour',
  low: 'when convenient',
};

export const ALERTS = {
  past: 'What was',
  head: 'Alarms',
  none: 'none',
  noneYet: 'none yet',
  comingQuiet: (where: string) => `${capital(where)} is quiet: an alarm once that has lasted its delay.`,
  comingHot: (where: string) =>
    `${capital(where)} has passed its ceiling: an alarm once that has lasted its delay.`,
  count: (amount: number, state: Alert['state'] | 'shelved') => `${amount} ${STATES[state]}`,
  rule: (title: string, state: Alert['state'] | 'shelved') => `${title}, ${STATES[state]}.`,
  urgency: (priority: Alert['priority']) => `Look ${URGENCY[priority]}.`,
  noData: (clock: string) => `Not known since ${clock}: nothing usable is heard. It stands as it stood then.`,
  shelvedUntil: (clock: string, reason: string) =>
    `Shelved until ${clock}${reason === '' ? '' : `: “${reason}”`}.`,
  acknowledge: 'Acknowledge',
  acknowledgeAll: 'Acknowledge all',
  acknowledgeWhat: (title: string) => `Acknowledge: ${title}`,
  shelve: 'Shelve …',
  shelveWhat: (title: string) => `Shelve: ${title}`,
  shelveFor: 'For',
  shelveReason: 'Why (may be left out)',
  shelveDo: 'Shelve it',
  leave: 'Leave it',
  unshelve: 'Take back',
  unshelveWhat: (title: string) => `Take back from the shelf: ${title}`,
  minutes: (minutes: number) =>
    minutes < 60 ? `${minutes} min` : minutes === 60 ? '1 hour' : `${minutes / 60} hours`,
  news: 'News',
  banner: 'Needs somebody now',
  more: (amount: number) => `${amount} more: see the list.`,
} as const;
