/** What a person may set: quiet hours, and each rule's delays and levels, everywhere or at one station, within limits. */
import { checkQuietHours, type QuietHours } from './quiet-hours.ts';
import { findRule, type Guarded, type Rule, type RuleKey, ruleOf } from './rules.ts';

export interface RuleSetting {
  readonly rule: string;
  /** Null: everywhere. */
  readonly station: string | null;
  readonly onDelayS?: number;
  readonly offDelayS?: number;
  readonly repeatS?: number;
  readonly level?: number;
  readonly deadband?: number;
  /** Own quiet hours in place of the common ones; `none`: never held. */
  readonly quietHours?: QuietHours | 'none';
}

export interface AlertSettings {
  readonly quietHours: QuietHours | null;
  readonly rules: readonly RuleSetting[];
}

export const USUAL_SETTINGS: AlertSettings = { quietHours: null, rules: [] };

/** A bench of many stations, each rule set apart at some of them, stays far below; a list beyond it is a mistake. */
export const MOST_SETTINGS = 500;

const FIGURES = ['onDelayS', 'offDelayS', 'repeatS', 'level', 'deadband'] as const;

/** Null: all well; otherwise the first mistake, with what, where and what to do. */
export function checkSettings(settings: AlertSettings, stations: readonly string[]): string | null {
  if (settings.quietHours) {
    const wrong = checkQuietHours(settings.quietHours);
    if (wrong) return wrong;
  }
  if (settings.rules.length > MOST_SETTINGS) return `At most ${MOST_SETTINGS} settings are kept.`;
  const seen = new Set<string>();
  for (const setting of settings.rules) {
    const wrong = checkSetting(setting, stations);
    if (wrong) return wrong;
    const key = `${setting.rule} ${setting.station ?? ''}`;
    if (seen.has(key)) return `${setting.rule} is set twice${at(setting)}.`;
    seen.add(key);
  }
  return null;
}

const at = ({ station }: RuleSetting): string => (station === null ? '' : ` at "${station}"`);

function checkSetting(setting: RuleSetting, stations: readonly string[]): string | null {
  const rule = findRule(setting.rule);
  if (!rule) return `"${setting.rule}" is no rule.`;
  if (setting.station !== null && !stations.includes(setting.station))
    return `No station is called "${setting.station}".`;
  for (const figure of FIGURES) {
    const value = setting[figure];
    if (value === undefined) continue;
    const guard = rule[figure];
    if (!guard || guard.most === 0) return `${rule.title} has no ${figure}.`;
    if (!(value >= guard.least && value <= guard.most))
      return `${rule.title}${at(setting)}: ${figure} = ${value} is outside ${guard.least} to ${guard.most}.`;
  }
  if (setting.quietHours && setting.quietHours !== 'none') {
    if (!mayWait(rule)) return `${rule.title} is never held back by quiet hours.`;
    return checkQuietHours(setting.quietHours);
  }
  return null;
}

/** News and low alarms wait for the morning; a lost night of drying or a passed ceiling does not. */
export const mayWait = (rule: Rule): boolean => rule.priority === 'low';

/** A rule at a place with everything a person set: the place's own setting goes before the common one. */
export interface SetRule {
  readonly rule: Rule;
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  readonly repeatMs: number;
  readonly level: number;
  readonly deadband: number;
  readonly quietHours: QuietHours | null;
}

/** For each subject the rule as it is set there, worked out once. */
export function createSetRules(
  settings: AlertSettings,
): (subject: { readonly rule: RuleKey; readonly station: string | null }) => SetRule {
  const bySetting = new Map(settings.rules.map((row) => [`${row.rule} ${row.station ?? ''}`, row]));
  const made = new Map<RuleKey, Map<string | null, SetRule>>();
  return ({ rule: key, station }) => {
    let ofRule = made.get(key);
    if (!ofRule) {
      ofRule = new Map();
      made.set(key, ofRule);
    }
    const found = ofRule.get(station);
    if (found) return found;
    const rule = ruleOf(key);
    const here = bySetting.get(`${key} ${station ?? ''}`);
    const everywhere = bySetting.get(`${key} `);
    const figure = (which: (typeof FIGURES)[number]): number => {
      const guard: Guarded | null = rule[which];
      if (!guard) return 0;
      const wanted = here?.[which] ?? everywhere?.[which] ?? guard.usual;
      // A file from elsewhere may hold anything.
      return Math.min(guard.most, Math.max(guard.least, wanted));
    };
    const own = here?.quietHours ?? everywhere?.quietHours;
    const set: SetRule = {
      rule,
      onDelayMs: 1000 * figure('onDelayS'),
      offDelayMs: 1000 * figure('offDelayS'),
      repeatMs: 1000 * figure('repeatS'),
      level: figure('level'),
      deadband: figure('deadband'),
      quietHours: !mayWait(rule) || own === 'none' ? null : (own ?? settings.quietHours),
    };
    ofRule.set(station, set);
    return set;
  };
}
