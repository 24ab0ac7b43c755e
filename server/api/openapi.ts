/** The OpenAPI document (version 3.1), made from the schemas that the routes themselves are checked by. */
import type { RouteOptions } from 'fastify';
import type { TSchema } from 'typebox';

export interface DescribedRoute {
  readonly method: string;
  readonly path: string;
  readonly schema: RouteSchema;
}

interface RouteSchema {
  readonly summary?: string;
  readonly description?: string;
  readonly querystring?: TSchema;
  readonly params?: TSchema;
  readonly body?: TSchema;
  readonly response?: Readonly<
    Record<string, TSchema | { content: Readonly<Record<string, { schema: TSchema }>> }>
  >;
}

/** Pages and static files carry no schema and are not part of the interface. */
export function describedRoutes(route: RouteOptions): DescribedRoute[] {
  if (!route.schema) return [];
  const methods = Array.isArray(route.method) ? route.method : [route.method];
  return methods
    .filter((method) => method !== 'HEAD')
    .map((method) => ({
      method: method.toLowerCase(),
      path: route.url,
      schema: route.schema as RouteSchema,
    }));
}

/** What lowdew itself sends elsewhere, by HTTP POST. */
export interface DescribedWebhook {
  readonly summary: string;
  readonly description: string;
  /** Header by name, and what it says. */
  readonly headers: Readonly<Record<string, string>>;
  readonly body: TSchema;
}

export function openApiDocument(
  routes: readonly DescribedRoute[],
  version: string,
  webhooks: Readonly<Record<string, DescribedWebhook>> = {},
): object {
  const paths: Record<string, Record<string, object>> = {};
  for (const { method, path, schema } of routes) {
    // Fastify writes /spools/:id, OpenAPI /spools/{id}.
    const name = path.replace(/:([A-Za-z]+)/g, '{$1}');
    paths[name] = { ...paths[name], [method]: operation(schema) };
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'lowdew',
      version,
      description:
        'Live state and history of the benches’ air, spools and jobs. Times are milliseconds since the Unix epoch.',
      license: { name: 'MIT', identifier: 'MIT' },
    },
    paths,
    webhooks: Object.fromEntries(
      Object.entries(webhooks).map(([name, webhook]) => [name, { post: sent(webhook) }]),
    ),
    components: {
      securitySchemes: {
        token: {
          type: 'http',
          scheme: 'bearer',
          description:
            'Asked only where lowdew listens beyond its own machine; a cookie from /enter does as well.',
        },
      },
    },
    security: [{}, { token: [] }],
  };
}

function operation({ summary, description, querystring, params, body, response = {} }: RouteSchema): object {
  return {
    ...(summary === undefined ? {} : { summary }),
    ...(description === undefined ? {} : { description }),
    parameters: [...parameters('query', querystring), ...parameters('path', params)],
    ...(body ? { requestBody: { required: true, content: { 'application/json': { schema: body } } } } : {}),
    responses: Object.fromEntries(
      Object.entries(response).map(([status, answer]) => [
        status.toUpperCase(),
        {
          description: STATUS_WORDS[status] ?? 'Answer',
          content: 'content' in answer ? answer['content'] : { 'application/json': { schema: answer } },
        },
      ]),
    ),
  };
}

function sent({ summary, description, headers, body }: DescribedWebhook): object {
  return {
    summary,
    description,
    parameters: Object.entries(headers).map(([name, says]) => ({
      name,
      in: 'header',
      description: says,
      schema: { type: 'string' },
    })),
    requestBody: { required: true, content: { 'application/json': { schema: body } } },
    responses: { '2XX': { description: 'Taken; anything else is tried again or shown as a fault' } },
    security: [{}],
  };
}

const STATUS_WORDS: Readonly<Record<string, string>> = {
  '101': 'The socket opens; these are its messages',
  '200': 'The answer',
  '4xx': 'The request is refused; the code says why',
  '5xx': 'lowdew failed or is busy',
};

function parameters(where: 'query' | 'path', schema: TSchema | undefined): object[] {
  const { properties = {}, required = [] } = (schema ?? {}) as { properties?: object; required?: string[] };
  return Object.entries(properties).map(([name, property]) => ({
    name,
    in: where,
    required: required.includes(name),
    schema: property,
  }));
}
