/** The colours of the style sheet as a canvas needs them. Read anew when the scheme changes. */
import type { Substance } from './lane-spec.ts';

export interface Palette {
  readonly line: Readonly<Record<Substance, string>>;
  readonly band: Readonly<Record<Substance, readonly [one: string, two: string]>>;
}

export function readPalette(): Palette {
  // Through an element's own colour, so that a canvas gets a plain one whatever the token is made of.
  const probe = document.documentElement.appendChild(document.createElement('i'));
  probe.style.setProperty('forced-color-adjust', 'none');
  const style = getComputedStyle(probe);
  const colour = (name: string): string => {
    probe.style.color = `var(${name})`;
    return style.color;
  };
  const palette = {
    line: { water: colour('--water'), heat: colour('--heat') },
    band: {
      water: [colour('--water-1'), colour('--water-2')],
      heat: [colour('--heat-1'), colour('--heat-2')],
    },
  } as const;
  probe.remove();
  return palette;
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
