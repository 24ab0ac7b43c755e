/** Metric families as OpenMetrics text, version 1.0.0. Pure; what is measured stands in measures.ts. */

export interface Family {
  /** Without the suffix that its type adds. Ends in `_<unit>` where there is a unit. */
  readonly name: string;
  readonly type: 'gauge' | 'counter' | 'info';
  readonly help: string;
  readonly unit?: string;
  readonly samples: readonly Sample[];
}

export interface Sample {
  readonly labels: Readonly<Record<string, string>>;
  readonly value: number;
}

export const METRICS_TYPE = 'application/openmetrics-text; version=1.0.0; charset=utf-8';

const SUFFIX: Readonly<Record<Family['type'], string>> = { gauge: '', counter: '_total', info: '_info' };

export function metricsText(families: readonly Family[]): string {
  return `${families.map(familyText).join('')}# EOF\n`;
}

function familyText({ name, type, help, unit, samples }: Family): string {
  const lines = [`# TYPE ${name} ${type}`];
  if (unit !== undefined) lines.push(`# UNIT ${name} ${unit}`);
  lines.push(`# HELP ${name} ${escapeText(help)}`);
  for (const { labels, value } of samples) {
    const pairs = Object.entries(labels).map(([label, text]) => `${label}="${escapeText(text)}"`);
    lines.push(
      `${name}${SUFFIX[type]}${pairs.length > 0 ? `{${pairs.join(',')}}` : ''} ${numberText(value)}`,
    );
  }
  return `${lines.join('\n')}\n`;
}

const escapeText = (text: string): string =>
  text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n');

function numberText(value: number): string {
  if (Number.isNaN(value)) return 'NaN';
  if (!Number.isFinite(value)) return value > 0 ? '+Inf' : '-Inf';
  return String(value);
}
