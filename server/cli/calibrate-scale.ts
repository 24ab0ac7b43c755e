/** `lowdew calibrate scale`: a load cell's zero, span and their temperature, from runs under known masses. */
import type { BenchConfig } from '../config/bench.ts';
import { checkScale, type ScaleCheck, type ScaleRun } from '../intake/calibration/scale-check.ts';
import { readForCalibration } from './calibration-readings.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';
import type { TimeSpan } from './time-span.ts';

export interface ScaleCommand {
  readonly capture: string;
  readonly bench: BenchConfig;
  readonly station: string;
  readonly runs: readonly { readonly massG: number; readonly span: TimeSpan }[];
}

/** A full spool with its reel. */
const USUAL_MASS_G = 1250;

export async function calibrateScaleCommand(command: ScaleCommand, terminal: Terminal): Promise<ExitCode> {
  const { bench, station } = command;
  if (!bench.stations.some(({ id }) => id === station)) {
    terminal.err(
      `There is no station "${station}" in the bench file; there are ${bench.stations.map(({ id }) => id).join(', ')}.`,
    );
    return EXIT.badBenchOrOption;
  }
  const spans = command.runs.map(({ span }) => span);
  const readings = await readForCalibration(command.capture, bench, spans, terminal);
  if (typeof readings === 'number') return readings;
  const runs: ScaleRun[] = [];
  let lastMs = 0;
  for (const { massG, span } of command.runs) {
    const scale = readings.in(station, span)?.scale ?? [];
    if (scale.length === 0) {
      terminal.err(`${station} said no mass (m) in the time given for ${massG} g.`);
      return EXIT.someRowsBad;
    }
    lastMs = Math.max(lastMs, scale.at(-1)?.atMs ?? 0);
    runs.push({ massG, readings: scale });
  }
  const check = checkScale(runs);
  if (!check.ok) {
    terminal.err(check.detail);
    return EXIT.someRowsBad;
  }
  tell(station, check, terminal);
  terminal.out(
    [
      `calibrated = ${new Date(lastMs).toISOString().slice(0, 10)}  # ${station}: masses ${command.runs.map(({ massG }) => massG).join(', ')} g`,
      `scale_zero_g = ${check.zeroG.toFixed(2)}`,
      `scale_span = ${check.span.toFixed(6)}`,
      ...(check.seesTemperature
        ? [
            `scale_zero_g_per_c = ${check.zeroGPerK.toFixed(4)}`,
            `scale_span_per_c = ${check.spanPerK.toFixed(8)}`,
            `scale_reference_c = ${check.referenceC}`,
          ]
        : []),
    ].join('\n'),
  );
  return EXIT.fine;
}

function tell(station: string, check: ScaleCheck & { readonly ok: true }, terminal: Terminal): void {
  const { zeroG, span, cellRangeC, referenceC, residualG } = check;
  terminal.err(
    `The scale of ${station} says ${zeroG.toFixed(2)} g of nothing and ${span.toFixed(5)} g of each gram${check.seesTemperature ? ` at ${referenceC} °C` : ''}; five-minute means scatter by ${residualG.toFixed(2)} g.`,
  );
  if (check.seesTemperature && cellRangeC)
    terminal.err(
      `Each degree of the cell moves the zero by ${check.zeroGPerK.toFixed(3)} g and the span by ${(1e6 * check.spanPerK).toFixed(0)} millionths (seen from ${cellRangeC[0].toFixed(1)} to ${cellRangeC[1].toFixed(1)} °C; beyond that it is a guess).`,
    );
  else
    terminal.err(
      cellRangeC === null
        ? 'No temperature of the cell was said (tm), so what it does to the scale is unknown: put a probe on the cell.'
        : 'The cell kept its temperature, so what that does to the scale is unknown: repeat each run while the cell warms by 5 °C or more.',
    );
  const [low, high] = cellRangeC ?? [referenceC, referenceC];
  terminal.err(
    `What is left at ${USUAL_MASS_G} g: ± ${Math.max(check.uncertaintyG(USUAL_MASS_G, low), check.uncertaintyG(USUAL_MASS_G, high)).toFixed(1)} g (two standard uncertainties), creep under a lasting load not counted. Changes of mass count more than the mass itself.`,
  );
  terminal.err(`Put this into the [[station]] with id = "${station}":\n`);
}
