/** Parts of a screen whose code comes after the screen's own: beneath the first look, or folded away. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren, ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';

/** Asked for once it is to be shown, and kept; nothing stands in its place until it is there. */
export function later<Props extends object>(
  fetchCode: () => Promise<ComponentType<Props>>,
): ComponentType<Props> {
  let code: ComponentType<Props> | null = null;
  return function Later(props: Props) {
    const arrived = useSignal(code !== null);
    useEffect(() => {
      if (code === null)
        fetchCode().then(
          (fetched) => {
            code = fetched;
            arrived.value = true;
          },
          // It is asked for again when it is to be shown the next time.
          () => {},
        );
    }, [arrived]);
    const Code = arrived.value ? code : null;
    return Code && <Code {...props} />;
  };
}

/** Folded away; what is in it is neither fetched nor drawn until it is opened. */
export function Fold(props: { summary: string; tab?: boolean; children: ComponentChildren }) {
  const open = useSignal(false);
  return (
    <details
      {...(props.tab && { class: 'tab' })}
      onToggle={(event) => {
        open.value = event.currentTarget.open;
      }}
    >
      <summary>{props.summary}</summary>
      {open.value && props.children}
    </details>
  );
}
