/** Blanks of a sentence: a word or a number to type, one of a few to choose, each with its mistake beside it. */
import type { ComponentChildren } from 'preact';

export interface BlankProps {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly wrong?: string | undefined;
  onType(value: string): void;
}

export function Blank(
  props: BlankProps & { readonly size: number; readonly words?: boolean; readonly hint?: string },
) {
  const { id, label, value, wrong, size, words = false, hint } = props;
  return (
    <span class="blank">
      <input
        id={id}
        aria-label={label}
        size={size}
        value={value}
        autoComplete="off"
        {...(words ? { maxLength: 80 } : { inputMode: 'decimal' as const, maxLength: 12 })}
        {...(hint === undefined ? {} : { placeholder: hint })}
        aria-invalid={wrong !== undefined}
        {...(wrong === undefined ? {} : { 'aria-describedby': `${id}-wrong` })}
        onInput={(event) => props.onType(event.currentTarget.value)}
      />
      {wrong !== undefined && (
        <span class="wrong" id={`${id}-wrong`}>
          {wrong}
        </span>
      )}
    </span>
  );
}

export function Choice(
  props: BlankProps & { readonly options: readonly (readonly [value: string, words: string])[] },
) {
  const { id, label, value, options } = props;
  return (
    <select
      id={id}
      aria-label={label}
      value={value}
      onChange={(event) => props.onType(event.currentTarget.value)}
    >
      {options.map(([each, words]) => (
        <option value={each} key={each}>
          {words}
        </option>
      ))}
    </select>
  );
}

/** Words and the blank after them stay on one line. */
export const Bound = ({ children }: { children: ComponentChildren }) => <span class="bound">{children}</span>;
