/** Of alarms and news that were: the list that opens when it is asked for. */
export const WAS = {
  rule: 'Kind',
  station: 'Place',
  priority: 'How pressing',
  anything: 'all',
  everywhere: 'all',
  when: 'When',
  what: 'What',
  older: 'Older ones',
  none: 'Nothing yet.',
  priorities: { high: 'now', medium: 'within the hour', low: 'when convenient' },
  states: {
    normal: 'over, seen',
    active: 'active',
    acknowledged: 'acknowledged',
    returned: 'over',
    'no-data': 'not known',
    told: 'news',
    withdrawn: 'withdrawn',
  },
  shelved: 'shelved',
} as const;
