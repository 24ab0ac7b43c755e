import { Type } from 'typebox';
import { expect, test } from 'vitest';
import type { DescribedRoute } from '../../server/api/openapi.ts';
import { serve } from './serve.ts';

interface Operation {
  summary?: string;
  parameters: { name: string; in: string; required: boolean; schema: object }[];
  requestBody?: { content: Record<string, { schema: { anyOf?: object[] } }> };
  responses: Record<string, { description: string; content: Record<string, { schema: object }> }>;
}
interface Document {
  openapi: string;
  info: { title: string; version: string };
  paths: Record<string, Record<string, Operation>>;
}

async function documentOf(more: Parameters<typeof serve>[0] = {}) {
  const { ask } = await serve({ enter: () => ({ ok: true, spools: [] }), ...more });
  const answer = await ask('/api/openapi.json');
  expect(answer.headers['content-type']).toMatch(/^application\/json/);
  return { ask, document: JSON.parse(answer.body) as Document };
}

// Required members and their forms: OpenAPI Specification 3.1.0, sections 4.8.1 to 4.8.17.
test('the document has what the standard requires of one', async () => {
  const { document } = await documentOf();
  expect(document.openapi).toMatch(/^3\.1\.\d+$/);
  expect(document.info).toMatchObject({ title: expect.any(String), version: '0.1.0-test' });
  for (const [path, methods] of Object.entries(document.paths)) {
    expect(path).toMatch(/^\//);
    for (const [method, operation] of Object.entries(methods)) {
      expect(['get', 'put', 'post', 'delete', 'patch']).toContain(method);
      for (const [status, response] of Object.entries(operation.responses)) {
        expect(status).toMatch(/^[1-5](\d\d|XX)$/);
        expect(response.description).not.toBe('');
      }
      for (const parameter of operation.parameters) {
        expect(['query', 'path']).toContain(parameter.in);
        expect(parameter.schema).toBeTypeOf('object');
        if (parameter.in === 'path') expect(parameter.required).toBe(true);
        expect(path.includes(`{${parameter.name}}`)).toBe(parameter.in === 'path');
      }
    }
  }
});

test('every route of the interface is in it, and every route in it answers', async () => {
  const { ask, document } = await documentOf();
  const routes = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method} ${path}`),
  );
  expect(routes.sort()).toEqual([
    'get /api/bench',
    'get /api/health',
    'get /api/history',
    'get /api/history.csv',
    'get /api/live',
    'get /api/openapi.json',
    'get /metrics',
    'post /api/entries',
  ]);
  for (const route of routes) {
    const [method = '', path = ''] = route.split(' ');
    expect((await ask(path, { method: method.toUpperCase() })).status, route).not.toBe(404);
  }
});

test('what a route asks and answers is in it as it is checked', async () => {
  const { document } = await documentOf();
  const history = document.paths['/api/history']?.['get'];
  expect(history?.parameters.map(({ name, required }) => [name, required])).toEqual([
    ['station', true],
    ['keys', true],
    ['fromMs', true],
    ['toMs', true],
    ['buckets', false],
  ]);
  expect(history?.parameters[4]?.schema).toMatchObject({ type: 'integer', minimum: 1, maximum: 2000 });
  expect(history?.responses['200']?.content['application/json']?.schema).toMatchObject({ type: 'object' });
  expect(history?.responses['4XX']?.content['application/json']?.schema).toMatchObject({
    required: ['error'],
  });
  expect(Object.keys(document.paths['/metrics']?.['get']?.responses['200']?.content ?? {})).toEqual([
    'application/openmetrics-text; version=1.0.0; charset=utf-8',
  ]);
  const entry = document.paths['/api/entries']?.['post']?.requestBody?.content['application/json']?.schema;
  expect(entry?.anyOf?.length).toBeGreaterThanOrEqual(3);
});

test('a route registered from outside stands behind the guard and in the document', async () => {
  const { ask, document } = await documentOf({
    routes: (app) => {
      app.post(
        '/api/spools/:id/limit',
        {
          schema: {
            summary: 'A limit of one’s own',
            params: Type.Object({ id: Type.String() }),
            body: Type.Object({ limitWtPercent: Type.Number() }),
            response: { 200: Type.Object({ id: Type.String(), twice: Type.Number() }) },
          },
        },
        ({ params, body }) => ({ id: params.id, twice: body.limitWtPercent * 2 }),
      );
    },
  });
  expect(document.paths['/api/spools/{id}/limit']?.['post']?.parameters).toMatchObject([
    { name: 'id', in: 'path', required: true },
  ]);
  const post = (origin: string) =>
    ask('/api/spools/gear/limit', {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin },
      body: '{"limitWtPercent":0.2}',
    });
  expect(await post('http://evil.example')).toMatchObject({ status: 403, code: 'origin-refused' });
});

test('pages and the token form are not part of the interface', async () => {
  const { document } = await documentOf();
  const paths: DescribedRoute['path'][] = Object.keys(document.paths);
  expect(paths.filter((path) => path.startsWith('/enter') || path === '/')).toEqual([]);
});
