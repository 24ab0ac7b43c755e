/**
 * Keeps a keyboard's place in the list of alarms: what holds the focus may go away, by what was just pressed or by an
 * update that takes its row out. The focus stays in its row, else goes to the next one, else to the list's heading.
 */
import { useEffect, useState } from 'preact/hooks';

interface Held {
  readonly element: Element;
  /** The row it stood in, and its place in the list; null: in none. */
  readonly row: { readonly element: Element; readonly place: number } | null;
  readonly inForm: boolean;
}

const ROWS = 'ol > li';

/** Returns the `ref` of the element that holds heading and list. */
export function useKeptFocus(): (host: HTMLElement | null) => void {
  const [host, setHost] = useState<HTMLElement | null>(null);
  useEffect(() => {
    if (!host) return;
    let held: Held | null = null;
    const note = ({ target }: FocusEvent): void => {
      if (!(target instanceof Element)) return;
      const row = target.closest(ROWS);
      held = {
        element: target,
        row: row && { element: row, place: [...host.querySelectorAll(ROWS)].indexOf(row) },
        inForm: target.closest('form') !== null,
      };
    };
    // A focus that a person takes elsewhere is not brought back; what leaves because it is removed is gone by then.
    const left = (): void =>
      queueMicrotask(() => {
        if (held?.element.isConnected && !held.element.contains(document.activeElement)) held = null;
      });
    const watch = new MutationObserver(() => {
      if (!held || held.element.isConnected) return;
      const gone = held;
      held = null;
      if (document.activeElement === null || document.activeElement === document.body)
        placeAfter(gone, host)?.focus();
    });
    host.addEventListener('focusin', note);
    host.addEventListener('focusout', left);
    watch.observe(host, { childList: true, subtree: true });
    return () => {
      watch.disconnect();
      host.removeEventListener('focusin', note);
      host.removeEventListener('focusout', left);
    };
  }, [host]);
  return setHost;
}

function placeAfter({ row, inForm }: Held, host: HTMLElement): HTMLElement | null {
  const rows = host.querySelectorAll<HTMLElement>(ROWS);
  const own = row && [...rows].find((one) => one === row.element);
  // The form that a button gave way to; and after the form the button that opened it, or what stands in its place.
  const next =
    own?.querySelector<HTMLElement>('form select') ??
    (inForm ? own?.querySelector<HTMLElement>('.act button:last-of-type') : null) ??
    own ??
    (row ? rows[Math.min(row.place, rows.length - 1)] : null);
  return next ?? host.querySelector('h2');
}
