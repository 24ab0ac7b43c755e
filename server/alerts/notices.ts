/** Whether a person is told now, and why or why not; decided purely, carried out elsewhere. */
import type { NoticeReason } from '../records.ts';
import { type AlarmLife, isStanding } from './life.ts';
import type { NewsLife } from './news.ts';

export type Silence =
  | 'nothing-happened'
  | 'already-told'
  | 'acknowledged'
  | 'shelved'
  | 'quiet-hours'
  | 'data-missing'
  | 'too-soon'
  | 'not-worth-a-word';

export type Decision =
  | { readonly outcome: NoticeReason }
  | { readonly outcome: 'nothing-new'; readonly why: Silence };

const silent = (why: Silence): Decision => ({ outcome: 'nothing-new', why });

/** Parts of a detail that were not told yet; each is worth one more word, its going is not. */
export const newParts = (detail: string, told: string): readonly string[] => {
  const known = told.split(' ');
  return detail.split(' ').filter((part) => part !== '' && !known.includes(part));
};

/** A trouble that gets another side is told again, but not for each flicker. */
export const CHANGE_GAP_MS = 10 * 60_000;

export interface Circumstances {
  /** It lies in the quiet hours that hold for this rule here. */
  readonly quietNow: boolean;
  /** 0: never repeated. */
  readonly repeatMs: number;
  readonly tellsReturn: boolean;
}

export function decideAlarm(life: AlarmLife, { quietNow, repeatMs, tellsReturn }: Circumstances): Decision {
  const { told, state } = life;
  if (!isStanding(life)) {
    if (told === null) return silent('nothing-happened');
    if (!tellsReturn) return silent('not-worth-a-word');
    // Told before it was shelved, so its end is told all the same.
    return quietNow ? silent('quiet-hours') : { outcome: 'returned' };
  }
  if (life.shelf !== null) return silent('shelved');
  if (told === null) {
    if (state === 'acknowledged') return silent('acknowledged');
    return quietNow ? silent('quiet-hours') : { outcome: 'first' };
  }
  if (quietNow) return silent('quiet-hours');
  if (life.frozen !== null) return silent('data-missing');
  if (newParts(life.detail, told.detail).length > 0)
    return told.agoMs >= CHANGE_GAP_MS ? { outcome: 'changed' } : silent('too-soon');
  if (state === 'acknowledged') return silent('acknowledged');
  // While the off-delay runs it is on its way out: nobody is called for that.
  if (repeatMs > 0 && life.met && told.agoMs >= repeatMs) return { outcome: 'repeat' };
  return silent('already-told');
}

/** True again after a withdrawal is told as a change, no sooner than this after it. */
export const NEWS_GAP_MS = 20 * 60_000;

export function decideNews(life: NewsLife, quietNow: boolean): Decision {
  const { told, state, words } = life;
  // Nothing to say of a run that is over, or not judged yet.
  if (words === null) return silent('nothing-happened');
  if (told === null) {
    if (state !== 'true') return silent('nothing-happened');
    return quietNow ? silent('quiet-hours') : { outcome: 'first' };
  }
  if (state === 'unknown' || state === told.state) return silent('already-told');
  if (quietNow) return silent('quiet-hours');
  if (state === 'false') return { outcome: 'withdrawn' };
  return told.agoMs >= NEWS_GAP_MS ? { outcome: 'changed' } : silent('too-soon');
}
