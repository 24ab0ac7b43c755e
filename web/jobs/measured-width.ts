/** The width of an element in px, kept up; text is never scaled, so that drawings need to know it. */
import { type Signal, useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';

export function useWidth(): readonly [RefObject<HTMLDivElement | null>, Signal<number>] {
  const host = useRef<HTMLDivElement>(null);
  const width = useSignal(0);
  useLayoutEffect(() => {
    const element = host.current;
    if (!element) return;
    const measure = (): void => {
      width.value = element.clientWidth;
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [width]);
  return [host, width];
}
