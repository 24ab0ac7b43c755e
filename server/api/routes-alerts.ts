/** Alarms and news: what stands, acknowledging and shelving, what was, and what may be set. */
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import {
  AcknowledgeSchema,
  type Alert,
  type AlertHistoryAnswer,
  AlertHistoryAnswerSchema,
  type AlertHistoryQuery,
  AlertHistoryQuerySchema,
  type AlertSettingsAnswer,
  AlertSettingsAnswerSchema,
  AlertSettingsSchema,
  type AlertSettingsWire,
  AlertsAnswerSchema,
  ShelveSchema,
  UnshelveSchema,
} from './messages-alerts.ts';

export type AlertOutcome =
  | { readonly ok: true }
  | { readonly ok: false; readonly reason: string; readonly detail: string };

export interface AlertsView {
  /** All of them, the most pressing first. */
  alerts(): readonly Alert[];
  acknowledge(id: string): AlertOutcome;
  shelve(id: string, minutes: number, reason: string): AlertOutcome;
  unshelve(id: string): AlertOutcome;
  history(query: AlertHistoryQuery): AlertHistoryAnswer;
  settings(): AlertSettingsAnswer;
  set(settings: AlertSettingsWire): AlertOutcome;
}

export function registerAlerts(app: ApiApp, view: AlertsView): void {
  const alerts = () => ({ alerts: [...view.alerts()] });
  const orRefuse = (outcome: AlertOutcome): void => {
    if (!outcome.ok) throw new RequestRefused(422, outcome.reason, outcome.detail);
  };
  const answers = { 200: AlertsAnswerSchema, ...ERROR_RESPONSES };
  app.get(
    '/api/alerts',
    {
      schema: {
        summary: 'Alarms that stand, have returned unseen or are shelved, and news',
        response: answers,
      },
    },
    alerts,
  );
  app.post(
    '/api/alerts/acknowledge',
    {
      schema: {
        summary: 'Alarms that a person has seen',
        description: 'One that is gone meanwhile is left out; if all are, the first one’s reason is told.',
        body: AcknowledgeSchema,
        response: answers,
      },
    },
    ({ body }) => {
      const outcomes = body.ids.map((id) => view.acknowledge(id));
      const refused = outcomes.find(({ ok }) => !ok);
      if (refused && outcomes.every(({ ok }) => !ok)) orRefuse(refused);
      return alerts();
    },
  );
  app.post(
    '/api/alerts/shelve',
    { schema: { summary: 'Puts an alarm aside for a time', body: ShelveSchema, response: answers } },
    ({ body: { id, minutes, reason = '' } }) => {
      orRefuse(view.shelve(id, minutes, reason));
      return alerts();
    },
  );
  app.post(
    '/api/alerts/unshelve',
    { schema: { summary: 'Takes an alarm back from the shelf', body: UnshelveSchema, response: answers } },
    ({ body: { id } }) => {
      orRefuse(view.unshelve(id));
      return alerts();
    },
  );
  app.get(
    '/api/alerts/history',
    {
      schema: {
        summary: 'What became of alarms and news, newest first',
        querystring: AlertHistoryQuerySchema,
        response: { 200: AlertHistoryAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    ({ query }) => view.history(query),
  );
  app.get(
    '/api/alerts/settings',
    {
      schema: {
        summary: 'Quiet hours, delays and levels as set, and the limits within which they may be',
        response: { 200: AlertSettingsAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    () => view.settings(),
  );
  app.put(
    '/api/alerts/settings',
    {
      schema: {
        summary: 'Sets quiet hours, delays and levels, all at once',
        body: AlertSettingsSchema,
        response: { 200: AlertSettingsAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    ({ body }) => {
      orRefuse(view.set(body));
      return view.settings();
    },
  );
}
