import { useEffect } from 'preact/hooks';
import type { BenchState } from '../bench-state.ts';
import { PAGE, SIMULATED } from '../words/shell.ts';

/** The window's title: whether it is invented, the screen, and what stands on it in a few words. */
export function useTitle(state: BenchState, screen: string, tail: string): void {
  const simulated = Boolean(state.bench.value?.simulated);
  const title = PAGE.title([...(simulated ? [SIMULATED.word] : []), screen, PAGE.name, tail]);
  useEffect(() => {
    document.title = title;
  }, [title]);
}
