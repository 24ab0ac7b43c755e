/** Free settings of an attempt: rows of a name and a value. */
import { ATTEMPTS } from '../words/jobs.ts';

export type SettingRow = readonly [name: string, value: string];
/** The server takes no more. */
const MOST_ROWS = 40;

export function SettingsRows(props: {
  readonly id: string;
  readonly rows: readonly SettingRow[];
  change(rows: readonly SettingRow[]): void;
}) {
  const { id, rows, change } = props;
  const put = (index: number, row: SettingRow): void =>
    change(rows.map((one, i) => (i === index ? row : one)));
  return (
    <fieldset class="settings">
      <legend>{ATTEMPTS.settings}</legend>
      <p class="soft">{ATTEMPTS.settingHint}</p>
      {rows.map(([name, value], index) => (
        <div class="setting" key={`${id}-${index}`}>
          <input
            aria-label={ATTEMPTS.settingName(index + 1)}
            value={name}
            maxLength={80}
            onInput={(event) => put(index, [event.currentTarget.value, value])}
          />
          <input
            aria-label={ATTEMPTS.settingValue(index + 1)}
            value={value}
            maxLength={80}
            onInput={(event) => put(index, [name, event.currentTarget.value])}
          />
        </div>
      ))}
      {rows.length < MOST_ROWS && (
        <button type="button" onClick={() => change([...rows, ['', '']])}>
          {ATTEMPTS.addSetting}
        </button>
      )}
    </fieldset>
  );
}
