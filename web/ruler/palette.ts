/** The colours of the style sheet as a canvas needs them. Read anew when the scheme changes. */
import type { Substance } from './lane-spec.ts';

export interface Palette {
  readonly line: Readonly<Record<Substance, string>>;
  readonly band: Readonly<Record<Substance, readonly [one: string, two: string]>>;
}

export function readPalette(): Palette {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  return {
    line: { water: colour('--water'), heat: colour('--heat') },
    band: {
      water: [colour('--water-1'), colour('--water-2')],
      heat: [colour('--heat-1'), colour('--heat-2')],
    },
  };
}

/** Calls when colours may have changed: scheme, contrast, forced colours. */
export function onPaletteChange(call: () => void): () => void {
  const queries = ['(prefers-color-scheme: dark)', '(prefers-contrast: more)', '(forced-colors: active)'].map(
    (query) => matchMedia(query),
  );
  for (const query of queries) query.addEventListener('change', call);
  return () => {
    for (const query of queries) query.removeEventListener('change', call);
  };
}
