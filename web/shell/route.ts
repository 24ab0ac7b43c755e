/** Which screen is shown, as the address bar has it: it survives reload and back, and can be sent to someone. */
import { type ReadonlySignal, signal } from '@preact/signals';

export interface Place {
  readonly path: string;
  /** What follows the question mark, without it. */
  readonly query: string;
}

export interface Route {
  readonly place: ReadonlySignal<Place>;
  /** Another screen or question: one step for the back button. */
  go(href: string): void;
  /** The same screen said more exactly, as at each letter typed: no step of its own. */
  refine(query: string): void;
}

export interface RouteWorld {
  place(): Place;
  push(href: string): void;
  replace(href: string): void;
  onBack(call: () => void): void;
}

export function createRoute(world: RouteWorld): Route {
  const place = signal(world.place());
  const read = (): void => {
    place.value = world.place();
  };
  world.onBack(read);
  return {
    place,
    go(href) {
      world.push(href);
      read();
    },
    refine(query) {
      if (query === place.value.query) return;
      world.replace(query === '' ? place.value.path : `${place.value.path}?${query}`);
      read();
    },
  };
}

export const browserRoute = (): Route =>
  createRoute({
    place: () => ({ path: location.pathname, query: location.search.slice(1) }),
    push: (href) => history.pushState(null, '', href),
    replace: (href) => history.replaceState(null, '', href),
    onBack: (call) => addEventListener('popstate', call),
  });

/** A click that means "here", not "in a new tab". */
export const isPlainClick = (event: MouseEvent): boolean =>
  event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;
