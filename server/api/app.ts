/** The fastify instance as routes see it: schemas in, types out. */

import type { TypeBoxTypeProvider } from '@fastify/type-provider-typebox';
import type {
  FastifyBaseLogger,
  FastifyInstance,
  RawReplyDefaultExpression,
  RawRequestDefaultExpression,
  RawServerDefault,
} from 'fastify';
import { ErrorAnswerSchema } from './messages.ts';

declare module 'fastify' {
  interface FastifySchema {
    /** One line for the OpenAPI document. */
    summary?: string;
    description?: string;
  }
}

export type ApiApp = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression,
  RawReplyDefaultExpression,
  FastifyBaseLogger,
  TypeBoxTypeProvider
>;

/** What every route may answer beside its own. */
export const ERROR_RESPONSES = { '4xx': ErrorAnswerSchema, '5xx': ErrorAnswerSchema } as const;
