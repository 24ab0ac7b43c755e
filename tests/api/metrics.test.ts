import { expect, test } from 'vitest';
import { describeEstimates } from '../../server/api/measures-estimates.ts';
import type { Snapshot } from '../../server/api/messages.ts';
import { metricsText } from '../../server/api/metrics.ts';
import { serve } from './serve.ts';

/**
 * A reader of the text format, written from its published grammar: OpenMetrics 1.0.0, "ABNF" and the sections on text
 * format, counters, gauges and info. It refuses what a strict reader must refuse.
 */
interface ReadFamily {
  type: string;
  help?: string;
  unit?: string;
  samples: { name: string; labels: Record<string, string>; value: number }[];
}

const NAME = '[a-zA-Z_:][a-zA-Z0-9_:]*';
const LABEL = `([a-zA-Z_][a-zA-Z0-9_]*)="((?:[^"\\\\\\n]|\\\\["\\\\n])*)"`;
const NUMBER = '[+-]?(?:\\d+(?:\\.\\d*)?|\\.\\d+)(?:[eE][+-]?\\d+)?|[+-]?Inf|NaN';
const SAMPLE_PATTERN = new RegExp(`^(${NAME})(?:\\{((?:${LABEL}(?:,${LABEL})*)?)\\})? (${NUMBER})$`);
const META_PATTERN = new RegExp(`^# (TYPE|HELP|UNIT) (${NAME}) (.*)$`);
const SUFFIXES: Record<string, string[]> = { gauge: [''], counter: ['_total', '_created'], info: ['_info'] };

function readMetrics(text: string): Map<string, ReadFamily> {
  if (!text.endsWith('# EOF\n')) throw new Error('no "# EOF" at the end');
  if (text.includes('\r')) throw new Error('lines end in LF alone');
  const families = new Map<string, ReadFamily>();
  let current: [string, ReadFamily] | null = null;
  const seen = new Set<string>();
  for (const line of text.slice(0, -'# EOF\n'.length).split('\n').slice(0, -1)) {
    const meta = META_PATTERN.exec(line);
    if (meta) {
      const [, kind = '', name = '', rest = ''] = meta;
      if (kind === 'TYPE') {
        if (families.has(name)) throw new Error(`${name} comes twice, or not in one piece`);
        if (!SUFFIXES[rest]) throw new Error(`unknown type ${rest}`);
        current = [name, { type: rest, samples: [] }];
        families.set(...current);
      } else {
        if (current?.[0] !== name) throw new Error(`${kind} of ${name} outside its family`);
        if (current[1].samples.length > 0) throw new Error(`${kind} of ${name} after its samples`);
        if (kind === 'HELP') current[1].help = rest;
        else if (!name.endsWith(`_${rest}`)) throw new Error(`${name} does not end in its unit ${rest}`);
        else current[1].unit = rest;
      }
      continue;
    }
    const match = SAMPLE_PATTERN.exec(line);
    if (!match || !current) throw new Error(`not a line of the format: ${line}`);
    const [family, { type, samples }] = current;
    const [, name = '', labelText = ''] = match;
    if (!SUFFIXES[type]?.some((suffix) => name === family + suffix))
      throw new Error(`${name} is not of ${family}`);
    const labels: Record<string, string> = {};
    for (const [, label = '', value = ''] of labelText.matchAll(new RegExp(LABEL, 'g'))) {
      if (label in labels) throw new Error(`label ${label} twice`);
      labels[label] = value.replace(/\\(["\\n])/g, (_, char: string) => (char === 'n' ? '\n' : char));
    }
    const identity = name + JSON.stringify(Object.entries(labels).sort());
    if (seen.has(identity)) throw new Error(`${identity} twice`);
    seen.add(identity);
    const value = Number((match.at(-1) ?? '').replace('Inf', 'Infinity'));
    if (type === 'counter' && !(value >= 0)) throw new Error(`counter ${name} is ${value}`);
    if (type === 'info' && value !== 1) throw new Error(`info ${name} is ${value}`);
    samples.push({ name, labels, value });
  }
  return families;
}

test('the bench is told as the standard has it, value by value', async () => {
  const { ask, serving } = await serve();
  const { headers, body } = await ask('/metrics');
  expect(headers['content-type']).toBe('application/openmetrics-text; version=1.0.0; charset=utf-8');
  const families = readMetrics(body);
  const values = (name: string) =>
    families.get(name)?.samples.map(({ labels, value }) => [...Object.values(labels), value]);
  expect(values('lowdew')).toEqual([['0.1.0-test', 1]]);
  expect(values('lowdew_station_value')).toEqual([
    ['box', 't', 70],
    ['box', 'rh', 4.81],
  ]);
  expect(values('lowdew_station_heard_timestamp_seconds')).toEqual([
    ['box', Date.UTC(2026, 7, 22, 12) / 1000],
  ]);
  expect(values('lowdew_station_events')).toEqual([['box', 'fault.m.nack', 3]]);
  expect(values('lowdew_source_refused')).toEqual([
    ['usb', 'crc', 2],
    ['usb', 'not-a-line', 1],
  ]);
  expect(values('lowdew_source_lost')).toEqual([['usb', 5]]);
  expect(values('lowdew_history_pending')).toEqual([[7]]);
  expect(values('lowdew_history_readings')).toContainEqual(['kept', 1000]);
  expect(values('lowdew_live_sockets')).toEqual([[serving.liveFacts().sockets]]);
  expect(families.get('lowdew_resident_memory_bytes')?.samples[0]?.value).toBeGreaterThan(1e6);
  for (const [name, { help }] of families) expect(help, name).toMatch(/\.$/);
});

test('names and numbers that could break the format do not', () => {
  const hostile = 'a"b\\c\nd}e{ # EOF';
  const text = metricsText([
    {
      name: 'x',
      type: 'gauge',
      help: 'line\nbreak and \\ "quotes"',
      samples: [1e-7, 1e300, -0, 5e-324, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY].map(
        (value, n) => ({
          labels: { station: hostile, n: String(n) },
          value,
        }),
      ),
    },
  ]);
  const samples = readMetrics(text).get('x')?.samples ?? [];
  expect(samples.map(({ value }) => value)).toEqual([
    1e-7,
    1e300,
    0,
    5e-324,
    Number.NaN,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ]);
  expect(new Set(samples.map(({ labels }) => labels['station']))).toEqual(new Set([hostile]));
});

test('the reader itself refuses what is not the format', () => {
  for (const text of [
    'x 1\n',
    '# TYPE x gauge\nx 1\n',
    '# TYPE x gauge\nx{a="1" b="2"} 1\n# EOF\n',
    '# TYPE x gauge\nx{a="1\n2"} 1\n# EOF\n',
    '# TYPE x counter\nx 1\n# EOF\n',
    '# TYPE x_seconds gauge\n# UNIT x_seconds bytes\nx_seconds 1\n# EOF\n',
    '# TYPE x gauge\nx 1\nx 2\n# EOF\n',
    '# TYPE x gauge\nx one\n# EOF\n',
    '# TYPE x counter\nx_total -1\n# EOF\n',
  ])
    expect(() => readMetrics(text), text).toThrow();
});

test('estimates come with their bands, and what is not known has no sample', () => {
  const moistureWtPercent = { p05: 0.2, p50: 0.31, p95: 0.5 };
  const snapshot = {
    stations: [
      { id: 'rig', ceiling: { ceilingC: 65 } },
      { id: 'room', ceiling: null },
    ],
    spools: [
      {
        id: 'gear',
        drying: {
          moistureWtPercent,
          wettestTurnWtPercent: moistureWtPercent,
          readyOuterG: { p05: 0, p50: 120, p95: 300 },
          pDry: 0.1,
          pNever: 0.05,
        },
      },
      { id: 'unheard', drying: null },
    ],
    chambers: [{ station: 'rig', finalAirC: null, pSteady: 0 }],
  } as unknown as Snapshot;
  const families = readMetrics(metricsText(describeEstimates(snapshot)));
  expect(families.get('lowdew_spool_moisture_percent')?.samples).toEqual(
    (['p05', 'p50', 'p95'] as const).map((band) => ({
      name: 'lowdew_spool_moisture_percent',
      labels: { spool: 'gear', band },
      value: moistureWtPercent[band],
    })),
  );
  expect(families.get('lowdew_chamber_final_celsius')?.samples).toEqual([]);
  expect(families.get('lowdew_station_ceiling_celsius')?.samples).toEqual([
    { name: 'lowdew_station_ceiling_celsius', labels: { station: 'rig' }, value: 65 },
  ]);
});
