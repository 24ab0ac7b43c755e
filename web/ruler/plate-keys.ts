/** Keys on the plate, as a pure decision. */
export type KeyAct =
  | { readonly act: 'read'; readonly to: 'first' | 'last' | 'now' }
  | { readonly act: 'step'; readonly steps: number }
  | { readonly act: 'pan'; readonly share: number }
  | { readonly act: 'zoom'; readonly direction: 'in' | 'out' }
  | { readonly act: 'follow' };

/** A page key steps this many times as far as an arrow. */
const PAGE_STEPS = 6;

export function actOfKey(key: string, shift: boolean): KeyAct | null {
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return shift ? { act: 'pan', share: -0.25 } : { act: 'step', steps: -1 };
    case 'ArrowRight':
    case 'ArrowUp':
      return shift ? { act: 'pan', share: 0.25 } : { act: 'step', steps: 1 };
    case 'PageUp':
      return { act: 'step', steps: PAGE_STEPS };
    case 'PageDown':
      return { act: 'step', steps: -PAGE_STEPS };
    case 'Home':
      return { act: 'read', to: 'first' };
    case 'End':
      return { act: 'read', to: 'last' };
    case 'Escape':
      return { act: 'read', to: 'now' };
    case '+':
    case '=':
      return { act: 'zoom', direction: 'in' };
    case '-':
    case '_':
      return { act: 'zoom', direction: 'out' };
    case '0':
      return { act: 'follow' };
    default:
      return null;
  }
}

const STEPS_MS = [10_000, 60_000, 600_000, 3_600_000, 6 * 3_600_000] as const;
/** Arrow keys walk a thirty-sixth of the span or the next round step above it: 10 min in six hours. */
export const stepMs = (spanMs: number): number =>
  STEPS_MS.find((step) => step >= spanMs / 36.5) ?? STEPS_MS[STEPS_MS.length - 1]!;
