/** The body of a webhook: one schema for type, test and the published document (`webhooks` in /api/openapi.json). */
import { type Static, Type } from 'typebox';
import type { Message } from './message.ts';

const nullable = <T extends Parameters<typeof Type.Union>[0][number]>(schema: T) =>
  Type.Union([schema, Type.Null()]);

const NoticeSchema = Type.Object({
  id: Type.String({
    description: 'Stays the same however often the notice is sent; take a known one as a copy.',
  }),
  at: Type.String({ description: 'When it was noticed; RFC 3339, UTC.' }),
  rule: Type.String(),
  kind: Type.Union([Type.Literal('news'), Type.Literal('alarm')]),
  priority: Type.Union([Type.Literal('high'), Type.Literal('medium'), Type.Literal('low')]),
  station: nullable(Type.String()),
  spool: Type.Optional(Type.String()),
  reason: Type.Union([
    Type.Literal('first'),
    Type.Literal('changed'),
    Type.Literal('returned'),
    Type.Literal('repeat'),
    Type.Literal('withdrawn'),
  ]),
  headline: Type.String({ description: 'One line: what, and where.' }),
  text: Type.String({ description: 'Since when, and how sure.' }),
  advice: Type.String({ description: 'What to do next.' }),
  caution: Type.Optional(Type.String({ description: 'Where heat, fumes or mains are near.' })),
  number: nullable(
    Type.Object({
      label: Type.String(),
      value: Type.Number(),
      low: nullable(
        Type.Number({ description: 'Nine in ten lie between low and high; null where measured.' }),
      ),
      high: nullable(Type.Number()),
      unit: Type.String(),
    }),
  ),
});

export const WebhookBodySchema = Type.Object(
  {
    format: Type.Literal('lowdew-notices-1'),
    id: Type.String({ description: 'Of a single notice its own; of several, made from theirs.' }),
    mark: nullable(Type.Union([Type.Literal('SIMULATED'), Type.Literal('TEST')])),
    subject: Type.String({ description: 'One line that reads first.' }),
    text: Type.String({ description: 'The whole message in plain words.' }),
    notices: Type.Array(NoticeSchema, {
      minItems: 1,
      description: 'Oldest first; several after the receiver could not be reached for a while.',
    }),
  },
  { description: 'Known fields stay as they are; new ones may be added.' },
);
export type WebhookBody = Static<typeof WebhookBodySchema>;

/** The same message makes the same bytes. */
export function webhookBody({ id, mark, subject, text, notices }: Message): string {
  const body: WebhookBody = { format: 'lowdew-notices-1', id, mark, subject, text, notices: [...notices] };
  return JSON.stringify(body);
}

/** For the OpenAPI document. */
export const WEBHOOKS = {
  notices: {
    summary: 'Notices, sent to each receiver of kind "webhook"',
    description:
      'Delivered at least once: take a notice whose id is known as a copy. Messages may come late or not at all; lowdew is not a safety device.',
    headers: {
      'lowdew-notice': 'The id of the message.',
      'lowdew-timestamp':
        'When it was sent, in seconds since the Unix epoch; refuse what is more than five minutes off.',
      'lowdew-signature':
        'sha256= and the HMAC-SHA256 in hexadecimal, keyed with the secret, over timestamp, full stop, body. Absent where no secret is set.',
    },
    body: WebhookBodySchema,
  },
} as const;
