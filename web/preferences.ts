/** How this browser shows things: kept here alone, since it is about the reader and not about the bench. */
import { DEFAULT_PREFERENCES, type Preferences } from './format.ts';

const KEY = 'lowdew.shown';

/** A browser that keeps nothing, or something unreadable, shows the usual. */
export function readPreferences(): Preferences {
  let kept: { readonly clock?: unknown; readonly temperature?: unknown } | null;
  try {
    kept = JSON.parse(localStorage.getItem(KEY) ?? '{}');
  } catch {
    kept = null;
  }
  return {
    clock: kept?.clock === '12h' ? '12h' : DEFAULT_PREFERENCES.clock,
    temperature: kept?.temperature === 'F' ? 'F' : DEFAULT_PREFERENCES.temperature,
  };
}

export function keepPreferences(preferences: Preferences): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(preferences));
  } catch {
    // Private windows may refuse; it holds until the page is closed then.
  }
}
