/** What `lowdew check` says of receivers; with `--notify`, after a test message to each. */
import type { Clock } from '../clock.ts';
import type { ReceiverConfig } from '../config/receivers.ts';
import { type Answer, taken } from '../notifiers/answer.ts';
import { PATIENCE_MS, testNotice } from '../notifiers/courier.ts';
import { composeMessage } from '../notifiers/message.ts';
import { wayTo } from '../notifiers/notifiers.ts';
import { type Environment, readSecret } from '../notifiers/secret.ts';
import { VERSION } from '../version.ts';

export interface ReceiverFinding {
  readonly id: string;
  /** For a person. */
  readonly says: string;
  readonly answer: Answer;
}

/** All at once, a minute at most. A lowdew that runs beside it does not notice: its queue is not touched. */
export function tryReceivers(
  receivers: readonly ReceiverConfig[],
  clock: Clock,
  env: Environment,
): Promise<ReceiverFinding[]> {
  return Promise.all(
    receivers.map(async (receiver) => {
      const way = wayTo(receiver, { clock, env, version: VERSION });
      const controller = new AbortController();
      const cancel = clock.after(PATIENCE_MS, () => controller.abort());
      try {
        const message = composeMessage([testNotice(receiver, clock.now().wallMs)], 'TEST');
        const answer = await way.deliver(message, controller.signal);
        return { id: receiver.id, says: `${way.where}: ${answer.words}`, answer };
      } finally {
        cancel();
        await way.close();
      }
    }),
  );
}

/** Whether what they need is there, without sending anything. */
export function lookAtReceivers(
  receivers: readonly ReceiverConfig[],
  clock: Clock,
  env: Environment,
): ReceiverFinding[] {
  return receivers.map((receiver) => {
    const answer = secretsOf(receiver)
      .map(([what, source]) => readSecret(source, what, env))
      .reduce<Answer>((found, reading) => (reading.ok ? found : reading.answer), taken(NOT_TRIED));
    const { where } = wayTo(receiver, { clock, env, version: VERSION });
    return { id: receiver.id, says: `${where}: ${answer.words}`, answer };
  });
}

const NOT_TRIED = 'not tried; `lowdew check --notify` sends a test message.';

function secretsOf(receiver: ReceiverConfig) {
  switch (receiver.kind) {
    case 'webhook':
      return [
        ...(receiver.url.from === 'bench' ? [] : [['address', receiver.url] as const]),
        ...(receiver.secret ? [['secret', receiver.secret] as const] : []),
      ];
    case 'email':
    case 'mqtt':
      return receiver.login ? [['password', receiver.login.password] as const] : [];
  }
}
