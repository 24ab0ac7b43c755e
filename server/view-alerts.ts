/** Alarms and news in wire shape. */

import type { AlertView } from './alerts/listing.ts';
import { RULES } from './alerts/rules.ts';
import { type AlertSettings, mayWait } from './alerts/settings.ts';
import type { Alert, AlertSettingsAnswer, AlertSettingsWire } from './api/messages-alerts.ts';

/** On the live socket; the whole list is asked for. */
export const MOST_SHOWN = 200;

export const wireAlert = (view: AlertView): Alert => ({
  ...view,
  shelf: view.shelf && { ...view.shelf },
  number: view.number && { ...view.number },
});

export const wireSettings = (settings: AlertSettings): AlertSettingsAnswer => ({
  settings: {
    quietHours: settings.quietHours && { ...settings.quietHours },
    rules: settings.rules.map((row) => ({ ...row })),
  },
  rules: RULES.map((rule) => ({
    key: rule.key,
    title: rule.title,
    kind: rule.kind,
    priority: rule.priority,
    onDelayS: { ...rule.onDelayS },
    offDelayS: { ...rule.offDelayS },
    repeatS: { ...rule.repeatS },
    level: rule.level && { ...rule.level },
    deadband: rule.deadband && { ...rule.deadband },
    mayWait: mayWait(rule),
  })),
});

export const settingsOf = (wire: AlertSettingsWire): AlertSettings => wire;
