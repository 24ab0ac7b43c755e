/** The wire of who is told of notices. Addresses are shortened to what is no secret. */
import { type Static, Type } from 'typebox';
import { EpochMs, nullable } from './shapes.ts';

const Count = Type.Integer({ minimum: 0 });

/** What became of one notice on its way to one receiver. */
export const DeliverySchema = Type.Object({
  noticeId: Type.String(),
  /** When it was noticed; RFC 3339, UTC. */
  at: Type.String(),
  headline: Type.String(),
  state: Type.Enum(['waiting', 'retry', 'fault', 'sent', 'crowded-out', 'closed']),
  tries: Count,
  triedMs: nullable(EpochMs),
  /** Why not, by its stable name; null where it was taken or not tried. */
  code: nullable(Type.String()),
  words: nullable(Type.String()),
});

export const ReceiverStateSchema = Type.Object({
  id: Type.String(),
  kind: Type.Enum(['webhook', 'email', 'mqtt']),
  /** Where it leads, without anything that might be a password. */
  where: Type.String(),
  leastPriority: Type.Enum(['high', 'medium', 'low']),
  kinds: Type.Array(Type.Enum(['news', 'alarm'])),
  /** `new`: nothing was sent yet. `retrying`: it may mend by itself. `fault`: wants a person. */
  state: Type.Enum(['new', 'well', 'retrying', 'fault']),
  code: nullable(Type.String()),
  words: Type.String(),
  /** Of the last attempt. */
  triedMs: nullable(EpochMs),
  lastSentMs: nullable(EpochMs),
  waiting: Count,
  /** Of those that wait, refused ones. */
  faults: Count,
  /** Given up since too many waited. */
  crowdedOut: Count,
  /** Newest first, at most 50. */
  log: Type.Array(DeliverySchema),
});
export type ReceiverState = Static<typeof ReceiverStateSchema>;

export const ReceiversSchema = Type.Object({ receivers: Type.Array(ReceiverStateSchema) });

/** What the receiver answered to a test message, in words. */
export const TestAnswerSchema = Type.Object({
  ok: Type.Boolean(),
  code: nullable(Type.String()),
  words: Type.String(),
  tookMs: Type.Number(),
});
export type TestAnswer = Static<typeof TestAnswerSchema>;
