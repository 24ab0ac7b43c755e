/** The live program's inside on a false clock: lines in, what is kept, shown and told out. */
import { encodeReading } from '../../firmware-protocol/encode.ts';
import type { Change } from '../../server/api/messages.ts';
import { falseClock } from '../../server/clock.ts';
import { readBench } from '../../server/config/read-bench.ts';
import type { AlertDeskOptions } from '../../server/desks/alert-desk.ts';
import { createEngine, type SavedEngine } from '../../server/engine.ts';
import { createSourceLines } from '../../server/intake/source-lines.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';
import type { AlertRecord, Notice, Sample, Transition } from '../../server/records.ts';
import { createRunner } from '../../server/runner.ts';
import { createView } from '../../server/view.ts';
import { wireAlert } from '../../server/view-alerts.ts';
import { wireSpool } from '../../server/view-spools.ts';

export const START_MS = Date.UTC(2026, 10, 25, 6, 0, 0);

export interface FalseBenchStart {
  /** What an earlier program left. */
  readonly saved?: SavedEngine;
  readonly alerting?: AlertDeskOptions;
  readonly startMs?: number;
}

export function openFalseBench(benchText: string, start: FalseBenchStart = {}) {
  const reading = readBench(benchText, null, { materials: MATERIAL_KEYS, things: [] });
  if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
  const { bench } = reading;
  const clock = falseClock(start.startMs ?? START_MS);
  const engine = createEngine(bench, start.saved, undefined, start.alerting);
  const kept: Sample[] = [];
  const told: Transition[] = [];
  const noticed: Notice[] = [];
  const alertRecords: AlertRecord[] = [];
  const captured: string[] = [];
  const refused: string[] = [];
  const changes: Change[] = [];
  const view = createView({
    engine,
    roles: new Map(bench.stations.map(({ id, role }) => [id, role])),
    clock,
    speed: 1,
    simulated: null,
    version: '0',
    sources: () => runner.sources(),
    spools: () => engine.spoolViews(clock.now()).map(wireSpool),
    chambers: () => [],
    jobs: () => [],
    ceiling: () => null,
    alerts: () => engine.alerts.views(clock.now()).map(wireAlert),
    historyTrouble: () => null,
  });
  const runner = createRunner({
    engine,
    sourceLines: createSourceLines(bench.patterns),
    clock,
    capture: (_at, _source, text) => captured.push(text),
    keep: (samples) => kept.push(...samples),
    show: view,
    tell: (transition) => told.push(transition),
    alerted({ notices, records }) {
      noticed.push(...notices);
      alertRecords.push(...records);
      view.alertsChanged();
    },
    storageTrouble: () => null,
    refused: (_source, reason) => refused.push(reason),
  });
  view.subscribe((change) => changes.push(change));
  clock.every(1000, () => runner.tick());
  let seq = 0;
  const hear = (text: string, sourceId = 'usb'): void =>
    runner.line({ sourceId, text, at: clock.now(), mark: 'whole' });
  return {
    clock,
    view,
    kept,
    told,
    noticed,
    alertRecords,
    engine,
    captured,
    refused,
    changes,
    hear,
    /** One good line of a board that shares the bench's clock. */
    say(
      station: string,
      values: Record<string, number>,
      faults: Record<string, 'nack' | 'crc' | 'range' | 'stuck'> = {},
      sourceId = 'usb',
    ) {
      const uptimeMs = clock.now().monotonicMs;
      hear(encodeReading({ station, boot: '3f2a', seq: seq++, uptimeMs, values, faults }, 2), sourceId);
    },
    station: (id: string) => view.snapshot().stations.find((station) => station.id === id),
  };
}
