/** Words of alarms and news. What an alarm itself says comes from lowdew; here is what stands around it. */
import type { Alert } from '../../server/api/messages-alerts.ts';

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

export const VOICE = {
  head: 'How this browser calls',
  tell: 'For this browser alone. Receivers in the bench file are called whether a page is open or not.',
  sound: 'A sound when an alarm needs somebody now',
  notices: 'The browser’s own notifications',
  refused: 'This browser was told to show none for this page; its settings for the page can change that.',
  insecure:
    'Not here: browsers show notifications only for pages from this machine or over HTTPS. Set tls_cert and tls_key, or use a receiver.',
  missing: 'This browser has none.',
} as const;

export const LEVELS = {
  head: 'When alarms call',
  tell: 'Usual figures are judgement. Each may be set within its limits; what may be damaging something cannot be turned off or held back.',
  quietHours: 'Quiet hours',
  quietTell:
    'News and what can wait are told when they end; what needs somebody within the hour is not held.',
  from: 'From',
  to: 'to',
  zone: 'Time zone',
  on: 'Hold news and low alarms at night',
  rule: 'Alarm or news',
  place: 'Place',
  everywhere: 'everywhere',
  onDelay: 'called after, min',
  offDelay: 'over after, min',
  repeat: 'again after, min',
  limits: (least: string, most: string) => `${least} to ${most}`,
  usual: 'usual',
  save: 'Save',
  saved: 'Saved.',
  reset: 'Back to the usual',
} as const;
