/** Where a person enters the token: a form without a script, so that it works before anything else may be fetched. */
import type { ApiApp } from './app.ts';
import type { RateLimit } from './rate.ts';
import type { Gate } from './token.ts';

export interface EnterParts {
  readonly gate: Gate;
  readonly overTls: boolean;
  /** For wrong tokens; much narrower than for requests. */
  readonly attempts: RateLimit;
  nowMs(): number;
}

/** A token and the name of its field. */
const MAX_FORM_BYTES = 1024;

export async function registerEnter(
  app: ApiApp,
  { gate, overTls, attempts, nowMs }: EnterParts,
): Promise<void> {
  // Forms are understood here and nowhere else: a form needs no permission to post across origins.
  await app.register(async (scope) => {
    scope.addContentTypeParser(
      'application/x-www-form-urlencoded',
      { parseAs: 'string', bodyLimit: MAX_FORM_BYTES },
      (_request, body, done) => done(null, new URLSearchParams(String(body)).get('token')),
    );
    scope.get('/enter', (_request, reply) =>
      reply.type('text/html; charset=utf-8').send(page(overTls, null)),
    );
    scope.get('/enter.css', (_request, reply) => reply.type('text/css; charset=utf-8').send(STYLE));
    scope.post('/enter', ({ body, ip }, reply) => {
      if (attempts.take(ip, nowMs()) === 'too-many')
        return reply
          .code(429)
          .type('text/html; charset=utf-8')
          .send(page(overTls, 'Too many tries. Wait a minute, then try again.'));
      if (typeof body !== 'string' || !gate.isToken(body.trim()))
        return reply
          .code(401)
          .type('text/html; charset=utf-8')
          .send(
            page(
              overTls,
              'That is not the token. It was shown in the terminal when lowdew first listened on the network.',
            ),
          );
      return reply.header('set-cookie', gate.cookie(overTls)).redirect('/', 303);
    });
  });
}

function page(overTls: boolean, trouble: string | null): string {
  const readable = overTls
    ? ''
    : '\n    <p>This connection is not encrypted: others on the same network can read what is sent, the token too.</p>';
  const said = trouble === null ? '' : `\n    <p role="alert"><strong>${trouble}</strong></p>`;
  return `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8">
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <meta name="color-scheme" content="light dark">
    <title>Enter · lowdew</title>
    <link rel="stylesheet" href="/enter.css">
  </head>
  <body>
    <main>
    <h1>Enter the token</h1>
    <p>It was shown in the terminal of the machine that runs lowdew, and is kept there in its data folder.</p>${said}
    <form method="post" action="/enter">
      <label for="token">Token</label>
      <input id="token" name="token" type="password" autocomplete="current-password" required autofocus>
      <button type="submit">Open the bench</button>
    </form>${readable}
    </main>
  </body>
</html>
`;
}

const STYLE = `:root { color-scheme: light dark; }
body { font: 15px/1.5 ui-sans-serif, system-ui, sans-serif; margin: 0; background: #f5f6f4; color: #16211f; }
main { max-width: 30rem; margin: 0 auto; padding: 40px 16px; }
h1 { font-size: 28px; line-height: 1.1; font-weight: 650; letter-spacing: -0.022em; }
label { display: block; }
input, button { font: inherit; min-height: 44px; padding: 0 12px; box-sizing: border-box; border: 1px solid #7d8986; background: transparent; color: inherit; }
input { width: 100%; margin: 4px 0 16px; }
@media (prefers-color-scheme: dark) { body { background: #101617; color: #e7edeb; } input, button { border-color: #6f7d79; } }
`;
