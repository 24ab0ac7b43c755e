/** Of when and how alarms call, as Setup has it. */
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
