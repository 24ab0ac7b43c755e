/** A way to one receiver, as the courier sees it: webhook, mail and MQTT are three of them. */
import type { Answer } from './answer.ts';
import type { Message } from './message.ts';

export interface Way {
  /** Where it leads, for a person; without anything that might be a password. */
  readonly where: string;
  /** Many waiting notices may be folded into one message; else each goes by itself. */
  readonly folds: boolean;
  /** Never throws. `signal` ends an attempt that takes too long. */
  deliver(message: Message, signal: AbortSignal): Promise<Answer>;
  close(): Promise<void>;
}
