/** A labelled choice and a labelled text, as Setup's forms have them. */

export function Choice<T extends string>({
  id,
  label,
  value,
  options,
  set,
}: {
  id: string;
  label: string;
  value: T;
  options: readonly (readonly [value: T, words: string])[];
  set(value: T): void;
}) {
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => set(event.currentTarget.value as T)}>
        {options.map(([key, words]) => (
          <option value={key} key={key}>
            {words}
          </option>
        ))}
      </select>
    </span>
  );
}

export function Text({
  id,
  label,
  value,
  hint,
  set,
}: {
  id: string;
  label: string;
  value: string;
  hint?: string;
  set(value: string): void;
}) {
  return (
    <span class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        autoComplete="off"
        spellcheck={false}
        value={value}
        aria-describedby={hint ? `${id} hint` : undefined}
        onInput={(event) => set(event.currentTarget.value)}
      />
      {hint && (
        <span class="soft" id={`${id} hint`}>
          {hint}
        </span>
      )}
    </span>
  );
}
