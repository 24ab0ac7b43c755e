/** How lowdew itself is, for a person's page and for a collector of metrics. */
import { Type } from 'typebox';
import type { Clock } from '../clock.ts';
import { type ApiApp, ERROR_RESPONSES } from './app.ts';
import { describeHealth } from './health.ts';
import type { LiveFacts } from './live.ts';
import { describeMeasures } from './measures.ts';
import { type Health, HealthSchema } from './messages.ts';
import { METRICS_TYPE, metricsText } from './metrics.ts';
import type { BenchView, HealthView } from './views.ts';

export interface HealthSources {
  readonly bench: BenchView;
  readonly health: HealthView;
  readonly clock: Clock;
  liveFacts(): LiveFacts;
}

export function registerHealth(app: ApiApp, { bench, health, clock, liveFacts }: HealthSources): void {
  const startedMs = clock.now().monotonicMs;
  const now = (): Health =>
    describeHealth({
      snapshot: bench.snapshot(),
      history: health.historyFacts(),
      live: liveFacts(),
      receiverTroubles: health.receiverTroubles?.() ?? [],
      uptimeS: (clock.now().monotonicMs - startedMs) / 1000,
      memory: process.memoryUsage(),
    });

  app.get(
    '/api/health',
    { schema: { summary: 'How lowdew itself is', response: { 200: HealthSchema, ...ERROR_RESPONSES } } },
    now,
  );
  app.get(
    '/metrics',
    {
      schema: {
        summary: 'The bench and lowdew itself as OpenMetrics text',
        response: { 200: { content: { [METRICS_TYPE]: { schema: Type.String() } } }, ...ERROR_RESPONSES },
      },
    },
    (_request, reply) => {
      reply.type(METRICS_TYPE);
      return metricsText(describeMeasures(bench.snapshot(), now()));
    },
  );
}
