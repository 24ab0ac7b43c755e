/**
 * Every rule as data. Delays, levels and intervals are the usual ones with the range within which a person may move
 * them. Words are those of IEC 62682: on-delay and off-delay are how long a condition must hold before an alarm is
 * raised or returns; the deadband is how far a value must come back before it counts as back.
 *
 * The figures are judgement unless a source stands beside them.
 */
import type { AlertKind, Priority } from '../records.ts';

export interface Guarded {
  readonly usual: number;
  readonly least: number;
  readonly most: number;
}

export interface Level extends Guarded {
  readonly label: string;
  readonly unit: string;
}

export const RULE_KEYS = [
  'ceiling-passed',
  'dryer-too-hot',
  'heating-lost',
  'lid-open-long',
  'job-excursion',
  'board-quiet',
  'station-quiet',
  'sensor-fault',
  'disk-full',
  'ceiling-near',
  'chamber-drifting',
  'condensation-risk',
  'floor-above-limit',
  'regain',
  'spool-out-too-long',
  'clock-stepped',
  'filament-dry',
  'chamber-steady',
  'may-start',
  'safe-to-open',
] as const;
export type RuleKey = (typeof RULE_KEYS)[number];

export interface Rule {
  readonly key: RuleKey;
  readonly kind: AlertKind;
  readonly priority: Priority;
  /** What it is called in a list. */
  readonly title: string;
  readonly about: 'station' | 'board' | 'spool' | 'job' | 'program';
  readonly onDelayS: Guarded;
  readonly offDelayS: Guarded;
  /** Said again after this while nobody has acknowledged it; 0: never. */
  readonly repeatS: Guarded;
  readonly level: Level | null;
  readonly deadband: Level | null;
  /** Alarms at the same place of which this one is only a consequence: while they hold, it is frozen. */
  readonly heldBy: readonly RuleKey[];
  /** Whether its return is worth a word. */
  readonly tellsReturn: boolean;
}

const MINUTE = 60;
const HOUR = 3600;
const guarded = (usual: number, least: number, most: number): Guarded => ({ usual, least, most });
const level = (label: string, unit: string, usual: number, least: number, most: number): Level => ({
  label,
  unit,
  usual,
  least,
  most,
});
const NEVER = guarded(0, 0, 0);

const rule = (
  key: RuleKey,
  kind: AlertKind,
  priority: Priority,
  about: Rule['about'],
  title: string,
  delays: Pick<Rule, 'onDelayS' | 'offDelayS' | 'repeatS'>,
  more: Partial<Pick<Rule, 'level' | 'deadband' | 'heldBy' | 'tellsReturn'>> = {},
): Rule => ({
  key,
  kind,
  priority,
  about,
  title,
  ...delays,
  level: null,
  deadband: null,
  heldBy: [],
  tellsReturn: true,
  ...more,
});

const delays = (onDelayS: Guarded, offDelayS: Guarded, repeatS: Guarded = NEVER) => ({
  onDelayS,
  offDelayS,
  repeatS,
});

/** The most pressing first. */
export const RULES: readonly Rule[] = [
  rule(
    'ceiling-passed',
    'alarm',
    'high',
    'station',
    'Ceiling passed',
    delays(guarded(15, 0, MINUTE), guarded(5 * MINUTE, MINUTE, HOUR), guarded(15 * MINUTE, 5 * MINUTE, HOUR)),
    { deadband: level('comes back below the ceiling by', '°C', 2, 0.5, 10) },
  ),
  rule(
    'dryer-too-hot',
    'alarm',
    'high',
    'station',
    'Box too hot',
    delays(
      guarded(2 * MINUTE, 0, 10 * MINUTE),
      guarded(5 * MINUTE, MINUTE, HOUR),
      guarded(15 * MINUTE, 5 * MINUTE, HOUR),
    ),
    { deadband: level('comes back below the limit by', '°C', 2, 0.5, 10) },
  ),
  rule(
    'heating-lost',
    'alarm',
    'medium',
    'station',
    'Heating lost',
    delays(
      guarded(10 * MINUTE, 2 * MINUTE, HOUR),
      guarded(10 * MINUTE, MINUTE, HOUR),
      guarded(4 * HOUR, 30 * MINUTE, 24 * HOUR),
    ),
    {
      level: level('falls below its hour’s median by', '°C', 5, 3, 20),
      deadband: level('comes back by', '°C', 2, 0.5, 10),
      heldBy: ['lid-open-long'],
    },
  ),
  rule(
    'lid-open-long',
    'alarm',
    'medium',
    'station',
    'Lid or door open',
    delays(
      guarded(10 * MINUTE, 2 * MINUTE, 2 * HOUR),
      guarded(2 * MINUTE, 30, HOUR),
      guarded(HOUR, 15 * MINUTE, 24 * HOUR),
    ),
    {},
  ),
  rule(
    'job-excursion',
    'alarm',
    'medium',
    'job',
    'Print outside its conditions',
    delays(
      guarded(3 * MINUTE, 0, HOUR),
      guarded(5 * MINUTE, MINUTE, HOUR),
      guarded(2 * HOUR, 15 * MINUTE, 24 * HOUR),
    ),
    { heldBy: ['lid-open-long', 'heating-lost', 'chamber-drifting'] },
  ),
  rule(
    'board-quiet',
    'alarm',
    'medium',
    'board',
    'Board quiet',
    delays(guarded(2 * MINUTE, 30, HOUR), guarded(MINUTE, 10, HOUR), guarded(12 * HOUR, HOUR, 7 * 24 * HOUR)),
  ),
  rule(
    'station-quiet',
    'alarm',
    'medium',
    'station',
    'Station quiet',
    delays(guarded(2 * MINUTE, 30, HOUR), guarded(MINUTE, 10, HOUR), guarded(12 * HOUR, HOUR, 7 * 24 * HOUR)),
  ),
  rule(
    'sensor-fault',
    'alarm',
    'medium',
    'station',
    'Sensor fault',
    delays(
      guarded(5 * MINUTE, 30, HOUR),
      guarded(2 * MINUTE, 10, HOUR),
      guarded(12 * HOUR, HOUR, 7 * 24 * HOUR),
    ),
  ),
  rule(
    'disk-full',
    'alarm',
    'medium',
    'program',
    'History not written',
    delays(guarded(MINUTE, 0, HOUR), guarded(MINUTE, 0, HOUR), guarded(24 * HOUR, HOUR, 7 * 24 * HOUR)),
  ),
  rule(
    'ceiling-near',
    'alarm',
    'low',
    'station',
    'Ceiling near',
    delays(guarded(2 * MINUTE, 0, HOUR), guarded(10 * MINUTE, MINUTE, 2 * HOUR)),
    { deadband: level('comes back by', '°C', 1, 0.5, 10), heldBy: ['ceiling-passed'], tellsReturn: false },
  ),
  rule(
    'chamber-drifting',
    'alarm',
    'low',
    'station',
    'Chamber drifting',
    delays(guarded(10 * MINUTE, MINUTE, HOUR), guarded(15 * MINUTE, MINUTE, 2 * HOUR)),
    {
      level: level('drifts by more than its steady drift times', '×', 2, 1, 10),
      deadband: level('comes back by this share', '×', 0.5, 0.1, 1),
      heldBy: ['lid-open-long', 'heating-lost'],
    },
  ),
  rule(
    'condensation-risk',
    'alarm',
    'low',
    'station',
    'Condensation',
    delays(guarded(15 * MINUTE, MINUTE, 2 * HOUR), guarded(30 * MINUTE, MINUTE, 4 * HOUR)),
    {
      level: level('dew point nearer to the coldest surface than', '°C', 1, 0, 5),
      deadband: level('comes back by', '°C', 1, 0.5, 5),
      tellsReturn: false,
    },
  ),
  rule(
    'floor-above-limit',
    'alarm',
    'low',
    'spool',
    'Never dry in this air',
    delays(guarded(20 * MINUTE, 10 * MINUTE, 4 * HOUR), guarded(30 * MINUTE, 10 * MINUTE, 4 * HOUR)),
    {
      // The level at which "never in this air" is said at all.
      level: level('chance that it never gets dry', '', 0.8, 0.8, 0.99),
      deadband: level('comes back by', '', 0.2, 0.05, 0.5),
      heldBy: ['lid-open-long', 'heating-lost'],
    },
  ),
  rule(
    'regain',
    'alarm',
    'low',
    'spool',
    'Takes up water again',
    delays(guarded(30 * MINUTE, 10 * MINUTE, 6 * HOUR), guarded(30 * MINUTE, 10 * MINUTE, 6 * HOUR)),
    { heldBy: ['lid-open-long', 'heating-lost'] },
  ),
  rule(
    'spool-out-too-long',
    'alarm',
    'low',
    'spool',
    'Spool lies out',
    delays(guarded(MINUTE, 0, HOUR), guarded(MINUTE, 0, HOUR)),
    { level: level('lies out for', 'h', 4, 0.5, 72), tellsReturn: false },
  ),
  rule(
    'clock-stepped',
    'alarm',
    'low',
    'program',
    'Clock set',
    delays(guarded(0, 0, MINUTE), guarded(0, 0, MINUTE)),
    { tellsReturn: false },
  ),
  rule(
    'filament-dry',
    'news',
    'low',
    'spool',
    'Filament dry',
    delays(guarded(0, 0, 4 * HOUR), guarded(20 * MINUTE, 10 * MINUTE, 4 * HOUR)),
  ),
  rule(
    'chamber-steady',
    'news',
    'low',
    'station',
    'Chamber steady',
    delays(guarded(2 * MINUTE, 0, 2 * HOUR), guarded(20 * MINUTE, 5 * MINUTE, 4 * HOUR)),
    { heldBy: ['lid-open-long', 'heating-lost', 'chamber-drifting'] },
  ),
  rule(
    'may-start',
    'news',
    'low',
    'job',
    'Print may start',
    delays(guarded(2 * MINUTE, 0, 2 * HOUR), guarded(20 * MINUTE, 5 * MINUTE, 4 * HOUR)),
    { heldBy: ['lid-open-long', 'heating-lost', 'chamber-drifting'] },
  ),
  rule(
    'safe-to-open',
    'news',
    'low',
    'station',
    'Chamber may be opened',
    delays(guarded(MINUTE, 0, 2 * HOUR), guarded(20 * MINUTE, 5 * MINUTE, 4 * HOUR)),
  ),
];

const BY_KEY = new Map<string, Rule>(RULES.map((row) => [row.key, row]));

/** Null for a name that is no rule's. */
export const findRule = (key: string): Rule | null => BY_KEY.get(key) ?? null;

export function ruleOf(key: RuleKey): Rule {
  const found = BY_KEY.get(key);
  if (!found) throw new RangeError(`"${key}" has no row among the rules`);
  return found;
}
