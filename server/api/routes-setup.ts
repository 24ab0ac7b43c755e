/** Setup: ports, what is heard on them, the bench file of a first run, and the tables that lowdew reckons with. */
import { Type } from 'typebox';
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import {
  BenchWrittenSchema,
  type FirstBench,
  FirstBenchSchema,
  ForgetRequestSchema,
  ListenRequestSchema,
  type MaterialsAnswer,
  MaterialsAnswerSchema,
  type SetupState,
  SetupStateSchema,
} from './messages-setup.ts';

type Refused = { readonly ok: false; readonly reason: 'bad-value' | 'not-kept'; readonly detail: string };
export type SetupOutcome = { readonly ok: true } | Refused;

export interface SetupView {
  state(): Promise<SetupState>;
  /** Begins to listen, or reads what was heard anew with other columns. */
  listen(request: { readonly path: string; readonly columns?: readonly string[] }): SetupOutcome;
  /** What was heard there, and the port itself where the system does not list it. */
  forget(request: { readonly path: string }): SetupOutcome;
  write(said: FirstBench): { readonly ok: true; readonly path: string; readonly text: string } | Refused;
  materials(): MaterialsAnswer;
}

const refused = ({ reason, detail }: Refused): RequestRefused =>
  new RequestRefused(reason === 'not-kept' ? 507 : 422, reason, detail);

export function registerSetup(app: ApiApp, setup: SetupView): void {
  app.get(
    '/api/setup',
    {
      schema: {
        summary:
          'Ports that are there, what was heard on them, and whether a bench file is still to be written',
        response: { 200: SetupStateSchema, ...ERROR_RESPONSES },
      },
    },
    () => setup.state(),
  );
  app.post(
    '/api/setup/listen',
    {
      schema: {
        summary:
          'Listen on a port for some seconds; nothing is sent to it, but opening it resets many boards',
        body: ListenRequestSchema,
        response: { 200: Type.Object({}), ...ERROR_RESPONSES },
      },
    },
    ({ body }) => {
      const outcome = setup.listen(body);
      if (!outcome.ok) throw refused(outcome);
      return {};
    },
  );
  app.post(
    '/api/setup/forget',
    {
      schema: {
        summary: 'Take a port that was listened to off the list, with what was heard on it',
        body: ForgetRequestSchema,
        response: { 200: Type.Object({}), ...ERROR_RESPONSES },
      },
    },
    ({ body }) => {
      const outcome = setup.forget(body);
      if (!outcome.ok) throw refused(outcome);
      return {};
    },
  );
  app.post(
    '/api/setup/bench',
    {
      schema: {
        summary: 'Write the first bench file and begin with it; an existing one is never rewritten',
        body: FirstBenchSchema,
        response: { 200: BenchWrittenSchema, ...ERROR_RESPONSES },
      },
    },
    ({ body }) => {
      const outcome = setup.write(body);
      if (!outcome.ok) throw refused(outcome);
      return { path: outcome.path, text: outcome.text };
    },
  );
  app.get(
    '/api/materials',
    {
      schema: {
        summary: 'The materials and things that lowdew knows, each number with its source and grade',
        response: { 200: MaterialsAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    () => setup.materials(),
  );
}
