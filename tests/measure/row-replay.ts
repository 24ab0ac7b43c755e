/** A day's capture of two stations at 0.1 Hz through the whole process, beside reading and parsing the file alone. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import { parseCaptureRow } from '../../server/storage/capture-format.ts';
import { benchFileText } from '../../simulators/bench-file.ts';
import { recordCapture } from '../../simulators/play.ts';
import { scenarioNamed } from '../../simulators/scenarios.ts';
import { type Measured, median } from './rounds.ts';

const AIM_S = 5;

export async function measureReplay(): Promise<readonly Measured[]> {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-measure-'));
  try {
    const scenario = scenarioNamed('damp-cellar');
    if (!scenario) throw new Error('the story is gone');
    const slow = { ...scenario, boards: scenario.boards.map((board) => ({ ...board, everyMs: 10_000 })) };
    const capture = join(folder, 'day.capture');
    const bench = join(folder, 'bench.toml');
    writeFileSync(
      capture,
      recordCapture(slow, 24, Date.UTC(2026, 10, 25))
        .map((row) => `${row}\n`)
        .join(''),
    );
    writeFileSync(
      bench,
      benchFileText(slow, () => '/dev/null'),
    );
    const program = fileURLToPath(new URL('../lowdew.mjs', import.meta.url));
    const whole: number[] = [];
    const parsing: number[] = [];
    for (let round = 0; round < 3; round++) {
      let startMs = performance.now();
      const done = spawnSync(process.execPath, [program, 'replay', capture, '--bench', bench], {
        maxBuffer: 1 << 28,
      });
      whole.push((performance.now() - startMs) / 1000);
      if (done.status !== 0) throw new Error(String(done.stderr));
      startMs = performance.now();
      let readings = 0;
      for (const text of readFileSync(capture, 'utf8').split('\n')) {
        const row = parseCaptureRow(text);
        if (row.ok && decodeLine(row.line).ok) readings++;
      }
      parsing.push((performance.now() - startMs) / 1000);
      if (readings < 17_000) throw new Error(`only ${readings} readings in the capture`);
    }
    const seconds = median(whole);
    return [
      {
        name: 'replay of a day, two stations at 0.1 Hz',
        value: seconds,
        unit: 's',
        yardstick: 'reading and parsing the file alone',
        ratio: seconds / median(parsing),
        aim: `≤ ${AIM_S} s`,
        met: seconds <= AIM_S,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}
