/** Who is told of notices, how they stand, and a test of each. */
import { Type } from 'typebox';
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import {
  type ReceiverState,
  ReceiversSchema,
  type TestAnswer,
  TestAnswerSchema,
} from './messages-receivers.ts';

export interface ReceiversView {
  /** In the order of the bench file. */
  receivers(): readonly ReceiverState[];
  /** Sends a test message now; null where there is no such receiver. */
  test(receiver: string): Promise<TestAnswer> | null;
}

export function registerReceivers(app: ApiApp, view: ReceiversView): void {
  app.get(
    '/api/receivers',
    {
      schema: {
        summary: 'Who is told of notices, how they stand, and what was sent last',
        response: { 200: ReceiversSchema, ...ERROR_RESPONSES },
      },
    },
    () => ({ receivers: [...view.receivers()] }),
  );
  app.post(
    '/api/receivers/:id/test',
    {
      schema: {
        summary: 'Sends a test message now and waits for the answer, a minute at most',
        params: Type.Object({ id: Type.String({ minLength: 1, maxLength: 16 }) }),
        response: { 200: TestAnswerSchema, ...ERROR_RESPONSES },
      },
    },
    async ({ params: { id } }) => {
      const answer = view.test(id);
      if (!answer)
        throw new RequestRefused(404, 'unknown-name', `The bench file has no receiver called "${id}".`);
      return answer;
    },
  );
}
