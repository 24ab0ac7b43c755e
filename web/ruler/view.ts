/**
 * Which stretch of time the ruler shows. Pure: a view, a gesture and now give the next view.
 *
 * A view that follows keeps *now* in its right part. Its window stands still while *now* walks through it and moves on
 * by a twelfth of its span at a time, so that the ruler does not crawl under the eye.
 */

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

export const SHORTEST_SPAN_MS = 10 * MINUTE;
export const LONGEST_SPAN_MS = 31 * DAY;
/** Spans that have a button, and the steps of the zoom keys. */
export const SPANS_MS = [10 * MINUTE, HOUR, 6 * HOUR, DAY, 7 * DAY, 31 * DAY] as const;

export type View =
  | { readonly kind: 'following'; readonly spanMs: number }
  | { readonly kind: 'held'; readonly fromMs: number; readonly toMs: number };

export interface Range {
  readonly fromMs: number;
  readonly toMs: number;
}

export const FIRST_VIEW: View = { kind: 'following', spanMs: 6 * HOUR };
/** A spool dries for hours: half a day behind, half a day ahead. */
export const FIRST_SPOOL_VIEW: View = { kind: 'following', spanMs: DAY };

/** Part of the span that lies ahead of *now* at least; with a forecast to show, more. */
export const AHEAD_SHARE = 1 / 12;
export const FORECAST_SHARE = 1 / 2;
const STEPS_IN_SPAN = 12;

const clampSpan = (spanMs: number): number => Math.min(LONGEST_SPAN_MS, Math.max(SHORTEST_SPAN_MS, spanMs));

export const spanOf = (view: View): number =>
  view.kind === 'following' ? view.spanMs : view.toMs - view.fromMs;

export function rangeOf(view: View, nowMs: number, aheadShare = AHEAD_SHARE): Range {
  if (view.kind === 'held') return { fromMs: view.fromMs, toMs: view.toMs };
  const stepMs = view.spanMs / STEPS_IN_SPAN;
  const toMs = Math.ceil(nowMs / stepMs) * stepMs + aheadShare * view.spanMs;
  return { fromMs: toMs - view.spanMs, toMs };
}

/** A held window that reaches the following one's right edge follows again. */
function held(fromMs: number, spanMs: number, nowMs: number, aheadShare: number): View {
  const following = rangeOf({ kind: 'following', spanMs }, nowMs, aheadShare);
  if (fromMs >= following.fromMs) return { kind: 'following', spanMs };
  return { kind: 'held', fromMs, toMs: fromMs + spanMs };
}

/** Moves the window by a part of its span; positive is later. */
export function panBy(view: View, share: number, nowMs: number, aheadShare = AHEAD_SHARE): View {
  const range = rangeOf(view, nowMs, aheadShare);
  const spanMs = spanOf(view);
  return held(range.fromMs + share * spanMs, spanMs, nowMs, aheadShare);
}

/** Makes the span `factor` times as long about a time that keeps its place. A following view goes on following. */
export function zoomAt(
  view: View,
  factor: number,
  aboutMs: number,
  nowMs: number,
  aheadShare = AHEAD_SHARE,
): View {
  const range = rangeOf(view, nowMs, aheadShare);
  const before = range.toMs - range.fromMs;
  const spanMs = clampSpan(before * factor);
  const share = (aboutMs - range.fromMs) / before;
  if (view.kind === 'following' && aboutMs >= nowMs) return { kind: 'following', spanMs };
  return held(aboutMs - share * spanMs, spanMs, nowMs, aheadShare);
}

/** The next of the round spans, shorter or longer, about *now* if it is in view, else about the middle. */
export function zoomStep(view: View, direction: 'in' | 'out', nowMs: number, aheadShare = AHEAD_SHARE): View {
  const spanMs = spanOf(view);
  const next =
    direction === 'in'
      ? SPANS_MS.findLast((span) => span < spanMs * 0.99)
      : SPANS_MS.find((span) => span > spanMs * 1.01);
  return next === undefined ? view : showSpan(view, next, nowMs, aheadShare);
}

/** A given span: about *now* where it is in view, else about the middle of what is shown. */
export function showSpan(view: View, spanMs: number, nowMs: number, aheadShare = AHEAD_SHARE): View {
  if (view.kind === 'following') return { kind: 'following', spanMs: clampSpan(spanMs) };
  const middleMs = (view.fromMs + view.toMs) / 2;
  const aboutMs = nowMs >= view.fromMs && nowMs <= view.toMs ? nowMs : middleMs;
  return zoomAt(view, spanMs / spanOf(view), aboutMs, nowMs, aheadShare);
}

/** *Now* walks by whole pixels, and at least once a minute: less would move nothing, more would hide what was heard. */
export function stepNow(nowMs: number, spanMs: number, widthPx: number): number {
  const stepMs = Math.min(MINUTE, Math.max(1000, spanMs / Math.max(1, widthPx)));
  return Math.ceil(nowMs / stepMs) * stepMs;
}

/** The span that an address names (`from` and `to`, ms since the Unix epoch), as a link of a report has it. */
export function spanIn(query: string): View | null {
  const params = new URLSearchParams(query);
  const [fromMs, toMs] = [Number(params.get('from') ?? Number.NaN), Number(params.get('to') ?? Number.NaN)];
  if (!(toMs > fromMs)) return null;
  const spanMs = clampSpan(toMs - fromMs);
  return { kind: 'held', fromMs: toMs - spanMs, toMs };
}
