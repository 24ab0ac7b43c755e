/** Quiet hours and the delays of alarms, everywhere or at one place, within their limits. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { AlertSettingsAnswer, AlertSettingsWire } from '../../server/api/messages-alerts.ts';
import { askJson, putJson } from '../ask.ts';
import type { BenchState } from '../bench-state.ts';
import { LEVELS } from '../words/alert-settings.ts';
import { Choice, Text } from './fields.tsx';

type Rule = AlertSettingsAnswer['rules'][number];
type Setting = AlertSettingsWire['rules'][number];
type Figure = 'onDelayS' | 'offDelayS' | 'repeatS' | 'level' | 'deadband';

const USUAL_NIGHT = { from: '22:00', to: '07:00' } as const;

export function LevelsPart({ state }: { state: BenchState }) {
  const known = useSignal<AlertSettingsAnswer | null>(null);
  const said = useSignal('');
  const rule = useSignal('heating-lost');
  const station = useSignal('');
  useEffect(() => {
    void askJson<AlertSettingsAnswer>('/api/alerts/settings').then((answer) => {
      if (answer.ok) known.value = answer.value;
    });
  }, []);
  if (!known.value) return null;
  const { settings, rules } = known.value;
  const put = async (wanted: AlertSettingsWire): Promise<void> => {
    const answer = await putJson<AlertSettingsAnswer>('/api/alerts/settings', wanted);
    said.value = answer.ok ? LEVELS.saved : answer.sentence;
    if (answer.ok) known.value = answer.value;
  };
  const chosen = rules.find(({ key }) => key === rule.value);
  const place = station.value === '' ? null : station.value;
  const setting = settings.rules.find((row) => row.rule === rule.value && row.station === place);
  const others = settings.rules.filter((row) => row !== setting);
  const zone = settings.quietHours?.zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  return (
    <section class="setup" aria-labelledby="levels">
      <h2 class="head" id="levels">
        {LEVELS.head}
      </h2>
      <p class="soft">{LEVELS.tell}</p>
      <p>
        <label class="tick">
          <input
            type="checkbox"
            checked={settings.quietHours !== null}
            onChange={(event) =>
              void put({
                ...settings,
                quietHours: event.currentTarget.checked ? { zone, ...USUAL_NIGHT } : null,
              })
            }
          />{' '}
          {LEVELS.on}
        </label>
      </p>
      {settings.quietHours && (
        <NightForm
          key={JSON.stringify(settings.quietHours)}
          night={settings.quietHours}
          save={(quietHours) => put({ ...settings, quietHours })}
        />
      )}
      <p class="soft">{LEVELS.quietTell}</p>
      <div class="row">
        <Choice
          id="levels-rule"
          label={LEVELS.rule}
          value={rule.value}
          options={rules.map(({ key, title }) => [key, title] as const)}
          set={(value) => {
            rule.value = value;
            said.value = '';
          }}
        />
        <Choice
          id="levels-place"
          label={LEVELS.place}
          value={station.value}
          options={[
            ['', LEVELS.everywhere],
            ...(state.bench.value?.stations ?? []).map(({ id }) => [id, id] as const),
          ]}
          set={(value) => {
            station.value = value;
            said.value = '';
          }}
        />
      </div>
      {chosen && (
        <FiguresForm
          key={`${rule.value} ${station.value} ${JSON.stringify(setting)}`}
          rule={chosen}
          setting={setting}
          save={(figures) =>
            put({
              ...settings,
              rules: [
                ...others,
                ...(figures === null ? [] : [{ ...setting, ...figures, rule: rule.value, station: place }]),
              ],
            })
          }
        />
      )}
      <p role="status">{said.value}</p>
    </section>
  );
}

type Night = NonNullable<AlertSettingsWire['quietHours']>;

function NightForm({ night, save }: { night: Night; save(night: Night): Promise<void> }) {
  const now = useSignal(night);
  const change = (parts: Partial<Night>): void => {
    now.value = { ...now.value, ...parts };
  };
  return (
    <form
      class="row"
      aria-label={LEVELS.quietHours}
      onSubmit={(event) => {
        event.preventDefault();
        void save(now.value);
      }}
    >
      <Text id="night-from" label={LEVELS.from} value={now.value.from} set={(from) => change({ from })} />
      <Text id="night-to" label={LEVELS.to} value={now.value.to} set={(to) => change({ to })} />
      <Text id="night-zone" label={LEVELS.zone} value={now.value.zone} set={(zone) => change({ zone })} />
      <button type="submit">{LEVELS.save}</button>
    </form>
  );
}

/** Delays are shown in minutes; the wire has seconds. */
const SECONDS: Readonly<Record<Figure, number>> = {
  onDelayS: 60,
  offDelayS: 60,
  repeatS: 60,
  level: 1,
  deadband: 1,
};

function FiguresForm(props: {
  rule: Rule;
  setting: Setting | undefined;
  save(figures: Partial<Record<Figure, number>> | null): Promise<void>;
}) {
  const { rule, setting } = props;
  const rows: { readonly figure: Figure; readonly label: string }[] = [
    { figure: 'onDelayS', label: LEVELS.onDelay },
    { figure: 'offDelayS', label: LEVELS.offDelay },
    ...(rule.repeatS.most > 0 ? [{ figure: 'repeatS' as const, label: LEVELS.repeat }] : []),
    ...(rule.level ? [{ figure: 'level' as const, label: `${rule.level.label}, ${rule.level.unit}` }] : []),
    ...(rule.deadband
      ? [{ figure: 'deadband' as const, label: `${rule.deadband.label}, ${rule.deadband.unit}` }]
      : []),
  ];
  const texts = useSignal<Partial<Record<Figure, string>>>({});
  const usualOf = (figure: Figure): number => rule[figure]?.usual ?? 0;
  const shown = (figure: Figure): string =>
    texts.value[figure] ?? String((setting?.[figure] ?? usualOf(figure)) / SECONDS[figure]);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void props.save(
          Object.fromEntries(
            rows.map(({ figure }) => [figure, Number(shown(figure).replace(',', '.')) * SECONDS[figure]]),
          ),
        );
      }}
    >
      <div class="row">
        {rows.map(({ figure, label }) => {
          const guard = rule[figure];
          return (
            <Text
              key={figure}
              id={`levels-${figure}`}
              label={label}
              value={shown(figure)}
              hint={
                guard
                  ? LEVELS.limits(String(guard.least / SECONDS[figure]), String(guard.most / SECONDS[figure]))
                  : ''
              }
              set={(text) => {
                texts.value = { ...texts.value, [figure]: text };
              }}
            />
          );
        })}
      </div>
      <button type="submit">{LEVELS.save}</button>{' '}
      {setting && (
        <button type="button" onClick={() => void props.save(null)}>
          {LEVELS.reset}
        </button>
      )}
    </form>
  );
}
