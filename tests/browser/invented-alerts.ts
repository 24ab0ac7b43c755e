/** Alarms and news invented for looking at the page. */
import type { Alert, AlertHistoryAnswer, AlertSettingsAnswer } from '../../server/api/messages-alerts.ts';
import { NOW_MS } from './invented-bench.ts';

const MINUTE = 60_000;

export const alertOf = (parts: Partial<Alert>): Alert => ({
  id: 'heating-lost:box',
  rule: 'heating-lost',
  title: 'Heating lost',
  kind: 'alarm',
  priority: 'medium',
  station: 'box',
  spool: null,
  job: null,
  state: 'active',
  sinceMs: NOW_MS - 25 * MINUTE,
  returnedMs: null,
  acknowledgedMs: null,
  noDataSinceMs: null,
  shelf: null,
  headline: 'The drying box has been cooling since 11:40; check its timer.',
  text: 'It held 80.1 °C and is at 52.3 °C, measured. No lid was seen to open.',
  advice: 'See whether its timer ran out or its supply failed, and switch it on again.',
  caution: 'Switch off and unplug before touching heater or wiring.',
  number: { label: 'air', value: 52.3, low: null, high: null, unit: '°C' },
  ...parts,
});

export const PASSED = alertOf({
  id: 'ceiling-passed:rig',
  rule: 'ceiling-passed',
  title: 'Ceiling passed',
  priority: 'high',
  station: 'rig',
  headline: 'The chamber has passed its ceiling of 60 °C.',
  text: 'The air is at 61.2 °C, measured: at or above the ceiling of PETG part.',
  advice: 'Turn the heat down now, or open the door a hand’s breadth, and stay with it until it falls.',
  caution: 'Overheated plastic gives off fumes: air the room before looking closely.',
});
export const HEATING = alertOf({});
export const FAULT = alertOf({
  id: 'sensor-fault:cabinet',
  rule: 'sensor-fault',
  title: 'Sensor fault',
  station: 'cabinet',
  state: 'acknowledged',
  headline: 'The electronics: no usable humidity.',
  text: 'The board is heard, but the humidity comes with a fault.',
  advice: 'Look at the sensor’s wires, plug and supply.',
  caution: null,
});
export const LID = alertOf({
  id: 'lid-open-long:box',
  rule: 'lid-open-long',
  title: 'Lid or door open',
  state: 'returned',
  returnedMs: NOW_MS - 60 * MINUTE,
  headline: 'The drying box seems to stand open since 09:38.',
});
export const NEAR = alertOf({
  id: 'ceiling-near:rig',
  rule: 'ceiling-near',
  title: 'Ceiling near',
  priority: 'low',
  station: 'rig',
  noDataSinceMs: NOW_MS - 5 * MINUTE,
  shelf: { sinceMs: NOW_MS - 30 * MINUTE, untilMs: NOW_MS + 90 * MINUTE, reason: 'trying a hotter bed' },
  headline: 'The chamber comes near its ceiling of 60 °C.',
});
export const DRY = alertOf({
  id: 'filament-dry:spool:gear',
  rule: 'filament-dry',
  title: 'Filament dry',
  kind: 'news',
  priority: 'low',
  spool: 'gear',
  state: 'true',
  headline: '“gear” is dry.',
  text: 'Since 11:40 at 0.14 % (0.09–0.19), under 0.20 % with 93 in 100.',
  caution: null,
});

export const PAST: AlertHistoryAnswer = {
  events: [
    ['returned', 'lid-open-long', 'The drying box seems to stand open since 09:38.'],
    ['active', 'lid-open-long', 'The drying box seems to stand open since 09:38.'],
    ['told', 'filament-dry', '“gear” is dry.'],
  ].map(([state, rule, headline], i) => ({
    number: 30 - i,
    atMs: NOW_MS - (i + 1) * 40 * MINUTE,
    rule: rule ?? '',
    station: 'box',
    spool: null,
    job: null,
    state: state as 'returned',
    shelved: false,
    priority: 'medium',
    headline: headline ?? '',
    figure: null,
  })),
  more: true,
};

const guarded = (usual: number, least: number, most: number) => ({ usual, least, most });
export const SETTINGS: AlertSettingsAnswer = {
  settings: { quietHours: { zone: 'Europe/Berlin', from: '22:00', to: '07:00' }, rules: [] },
  rules: [
    {
      key: 'heating-lost',
      title: 'Heating lost',
      kind: 'alarm',
      priority: 'medium',
      onDelayS: guarded(600, 120, 3600),
      offDelayS: guarded(600, 60, 3600),
      repeatS: guarded(14_400, 1800, 86_400),
      level: { ...guarded(5, 3, 20), label: 'falls below its hour’s median by', unit: '°C' },
      deadband: { ...guarded(2, 0.5, 10), label: 'comes back by', unit: '°C' },
      mayWait: false,
    },
    {
      key: 'lid-open-long',
      title: 'Lid or door open',
      kind: 'alarm',
      priority: 'medium',
      onDelayS: guarded(600, 120, 7200),
      offDelayS: guarded(120, 30, 3600),
      repeatS: guarded(3600, 900, 86_400),
      level: null,
      deadband: null,
      mayWait: false,
    },
  ],
};
