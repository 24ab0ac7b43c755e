/** The bench as it stands. */
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { RequestRefused } from './errors.ts';
import { SnapshotSchema } from './messages.ts';
import type { BenchView } from './views.ts';

export function registerBench(app: ApiApp, bench: BenchView): void {
  app.get(
    '/api/bench',
    {
      schema: {
        summary: 'The bench as it stands: the snapshot that the live socket opens with',
        response: { 200: SnapshotSchema, ...ERROR_RESPONSES },
      },
    },
    () => bench.snapshot(),
  );
  app.get(
    '/api/live',
    {
      schema: {
        summary: 'The live socket: first a Snapshot, then Changes whose sequence grows by one each',
        description:
          'A WebSocket (RFC 6455). A slow client is left out of changes and then sent a new Snapshot.',
        response: { 101: SnapshotSchema, ...ERROR_RESPONSES },
      },
    },
    () => {
      throw new RequestRefused(426, 'upgrade-needed', 'This is a WebSocket: ask for an upgrade.');
    },
  );
}
