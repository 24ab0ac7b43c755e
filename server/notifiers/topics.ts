/**
 * The tree of MQTT topics, all below the prefix of the bench file (`lowdew` unless said otherwise):
 *
 *     presence                            "here", or "gone" (also by the broker, when lowdew is cut off); retained
 *     station/<station>/air               temperature, humidity, dew point …; retained, each minute
 *     spool/<spool>/drying                how wet, how much usable, when dry; retained, each minute
 *     alert/<rule>[/<station>[/<spool>]]  the latest notice of each alert; retained
 *     notice                              every notice as it comes; not retained
 */
import type { Notice } from '../records.ts';
import type { Message } from './message.ts';

export const PRESENCE = 'presence';
export const HERE = 'here';
export const GONE = 'gone';

export interface Publication {
  /** Below the prefix. */
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
}

/** What a notice publishes: itself, and its alert's latest state. A test leaves nothing behind on the broker. */
export function noticePublications({ mark, notices }: Message): readonly Publication[] {
  return notices.flatMap((notice) => {
    const payload = JSON.stringify({ mark, ...notice });
    const itself: Publication = { topic: 'notice', payload, retain: false };
    return mark === 'TEST' ? [itself] : [itself, { topic: alertTopic(notice), payload, retain: true }];
  });
}

export function alertTopic({ rule, station, spool }: Pick<Notice, 'rule' | 'station' | 'spool'>): string {
  const levels = [
    'alert',
    rule,
    ...(station === null ? [] : [station, ...(spool === undefined ? [] : [spool])]),
  ];
  return levels.map(level).join('/');
}

/** One level: without the separator, the wildcards and what some brokers keep for themselves. */
export const level = (name: string): string => name.replace(/[^A-Za-z0-9_-]/g, '-');
