import { describe, expect, it } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { falseClock } from '../../server/clock.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { parseCaptureRow } from '../../server/storage/capture-format.ts';
import { simulatedBench } from '../../simulators/bench.ts';
import { benchFileText } from '../../simulators/bench-file.ts';
import { captureRow } from '../../simulators/capture-rows.ts';
import { playBench, recordCapture } from '../../simulators/play.ts';
import { MATERIALS } from '../../simulators/polymers.ts';
import { checkScenario } from '../../simulators/scenario.ts';
import { scenarioNamed, scenarios } from '../../simulators/scenarios.ts';

const START_MS = Date.UTC(2026, 7, 22, 18, 30);

describe('scenarios', () => {
  it('are checked: every mistake is named with its place', () => {
    const story = structuredClone(scenarioNamed('damp-cellar')) as unknown as Record<string, unknown>;
    expect(checkScenario({ ...story, hours: 'many' })).toMatchObject({ ok: false });
    expect(checkScenario({ ...story, surprise: 1 })).toMatchObject({ ok: false });
    const spools = [{ ...(story['spools'] as object[])[0], station: 'attic' }];
    const checked = checkScenario({ ...story, spools });
    expect(checked.ok).toBe(false);
    if (!checked.ok) {
      expect(checked.mistakes.join('\n')).toMatch(/spool bracket: no station attic/);
      expect(checked.mistakes.join('\n')).toMatch(/station box: has 0 spools/);
    }
  });

  it('each comes with a bench file that the program reads without a mistake', () => {
    for (const scenario of scenarios()) {
      const text = benchFileText(scenario, (board) =>
        board === 'printer' ? '127.0.0.1:7400' : `/dev/${board}`,
      );
      const reading = readBench(text, null, {
        materials: [...MATERIALS],
        things: ['petg', 'pmma', 'pla'],
      });
      expect(reading, scenario.name).toMatchObject({ ok: true });
      if (!reading.ok) continue;
      expect(reading.bench.stations.map((station) => station.id)).toEqual(
        scenario.stations.map((station) => station.id),
      );
      expect(reading.bench.spools[0]?.limitWtPercent).toBe(scenario.spools[0]?.limitWtPercent);
    }
  });
});

describe('a recorded capture', () => {
  const story = scenarioNamed('timer-at-night')!;
  const rows = recordCapture(story, 8.6, START_MS);

  it('is the same twice and another for another seed', () => {
    const again = recordCapture(story, 0.1, START_MS);
    expect(again).toEqual(rows.slice(0, again.length));
    expect(recordCapture(story, 0.1, START_MS, 99)).not.toEqual(again);
  });

  it('is rows in the order of time, of which only the cable trouble is unreadable', () => {
    let before = 0;
    let disordered = 0;
    const refused: number[] = [];
    let readings = 0;
    const boots = new Set<string>();
    for (const row of rows) {
      const parsed = parseCaptureRow(row);
      if (!parsed.ok) throw new Error(`${parsed.detail}: ${row}`);
      if (parsed.atMs < before) disordered++;
      before = parsed.atMs;
      const line = decodeLine(parsed.line);
      if (!line.ok) refused.push((parsed.atMs - START_MS) / 3_600_000);
      else if (line.line.kind === 'reading') {
        readings++;
        if (parsed.source === 'dryer') boots.add(line.line.boot);
      }
    }
    // 8.6 h: two stations every 2 s less a third of an hour, two every 5 s.
    expect(readings).toBeGreaterThan(41_000);
    expect(disordered).toBe(0);
    expect(boots.size).toBe(2);
    expect(refused.length).toBeGreaterThan(50);
    for (const hour of refused) {
      expect(hour).toBeGreaterThan(7.79);
      expect(hour).toBeLessThan(8.37);
    }
  });

  it('holds what the person entered, with what the kitchen scale showed', () => {
    const nylon = scenarioNamed('gear-overnight')!;
    const bench = simulatedBench(nylon);
    const entries: object[] = [];
    bench.advance(2.2 * 3_600_000, (event) => {
      if (event.kind === 'entry') entries.push(event.entry);
    });
    expect(entries).toHaveLength(1);
    expect(entries[0]).toMatchObject({ kind: 'weigh-in', spool: 'gear', resolutionG: 1 });
    const { massG } = entries[0] as { massG: number };
    expect(Math.abs(massG - bench.workshop.boxes.get('box')!.truth.scaleG())).toBeLessThan(2);
  });

  it('writes strange bytes as \\xHH and cuts what is too long, as a reader expects', () => {
    const strange = String.fromCharCode(0, 0x5c, 0xff, 0x41);
    const parsed = parseCaptureRow(captureRow(START_MS, 'dryer', strange));
    expect(parsed).toMatchObject({ ok: true, line: strange, atMs: START_MS, cut: false });
    expect(parseCaptureRow(captureRow(START_MS, 'dryer', strange.repeat(100)))).toMatchObject({
      ok: true,
      cut: true,
    });
  });
});

describe('playing against a clock', () => {
  it('sends what a recording holds, whatever the timer, and lets the host speak', () => {
    const story = scenarioNamed('damp-cellar')!;
    const clock = falseClock(START_MS);
    const bench = simulatedBench(story);
    let heard = '';
    const stop = playBench(bench, clock, { write: (_board, bytes) => (heard += bytes) });
    for (let i = 0; i < 40; i++) clock.advance(97 + 41 * (i % 7));
    const recorded = simulatedBench(story);
    let expected = '';
    recorded.advance(bench.elapsedMs, (event) => {
      if (event.kind === 'bytes') expected += event.bytes;
    });
    expect(heard).toBe(expected);
    expect(heard.length).toBeGreaterThan(300);
    heard = '';
    bench.receive('cellar', '?\n');
    clock.advance(300);
    expect(heard).toMatch(/^LD1H cellar /);
    stop();
    heard = '';
    clock.advance(60_000);
    expect(heard).toBe('');
  });

  it('goes on from where a recording stopped', () => {
    const story = scenarioNamed('damp-cellar')!;
    const bench = simulatedBench(story);
    bench.advance(3_600_000, () => {});
    const clock = falseClock(START_MS);
    clock.advance(12_345);
    let heard = '';
    playBench(bench, clock, { write: (_board, bytes) => (heard += bytes) });
    clock.advance(2000);
    const first = decodeLine(heard.split('\n')[0]!);
    expect(first.ok && first.line.kind === 'reading' && first.line.uptimeMs).toBeGreaterThan(3_599_000);
    expect(bench.elapsedMs).toBe(3_602_000);
  });
});
