/** Notices as the judgement makes them, invented. */
import type { Notice } from '../../server/records.ts';

export const STORY_MS = Date.UTC(2026, 10, 25, 2, 10);

export const notice = (n: number, more: Partial<Notice> = {}): Notice => ({
  id: `heating-lost:box:${n}`,
  at: new Date(STORY_MS + n * 1000).toISOString(),
  rule: 'heating-lost',
  kind: 'alarm',
  priority: 'medium',
  station: 'box',
  spool: 'gear',
  reason: 'first',
  headline: `The drying box cools, number ${n}`,
  text: 'Since 02:10 UTC it fell from 70.1 °C to 63.4 °C.',
  advice: 'Check its timer.',
  caution: 'Heated plastic gives off fumes: ventilate.',
  number: { label: 'air', value: 63.4, low: 63.2, high: 63.6, unit: '°C' },
  ...more,
});
