/** `lowdew calibrate side-by-side`: sensors that lay together in the same air, against one of them. */
import type { BenchConfig, StationConfig } from '../config/bench.ts';
import { type Settled, settle } from '../intake/calibration/settled.ts';
import { type Compared, compareSideBySide, type Neighbour } from '../intake/calibration/side-by-side.ts';
import { type CalibrationReadings, readForCalibration } from './calibration-readings.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';
import type { TimeSpan } from './time-span.ts';

export interface SideBySideCommand {
  readonly capture: string;
  readonly bench: BenchConfig;
  readonly span: TimeSpan;
  /** Null: the room's station, else the first. */
  readonly reference: string | null;
}

/** Room air moves, and moves them all alike; more than this and they had not come to rest together. Judgement. */
const MOST_T_DRIFT_C = 1;
const MOST_RH_DRIFT = 3;

export async function calibrateSideBySideCommand(
  command: SideBySideCommand,
  terminal: Terminal,
): Promise<ExitCode> {
  const { bench } = command;
  const wanted = command.reference ?? bench.stations.find(({ role }) => role === 'room')?.id ?? null;
  if (command.reference !== null && !bench.stations.some(({ id }) => id === command.reference)) {
    terminal.err(
      `There is no station "${command.reference}" in the bench file; there are ${bench.stations.map(({ id }) => id).join(', ')}.`,
    );
    return EXIT.badBenchOrOption;
  }
  const readings = await readForCalibration(command.capture, bench, [command.span], terminal);
  if (typeof readings === 'number') return readings;
  const neighbours: Neighbour[] = [];
  for (const station of bench.stations) {
    const found = neighbourOf(readings, station, command.span);
    if (typeof found === 'string') terminal.err(`${station.id} is left out: ${found}`);
    else neighbours.push(found);
  }
  const reference = neighbours.find(({ station }) => station === wanted) ?? neighbours[0];
  if (!reference || neighbours.length < 2) {
    terminal.err('Two stations at least must have spoken and been at rest in that time.');
    return EXIT.someRowsBad;
  }
  if (command.reference !== null && reference.station !== command.reference) {
    terminal.err(`${command.reference} cannot be the reference then.`);
    return EXIT.someRowsBad;
  }
  const compared = compareSideBySide(
    reference,
    neighbours.filter((one) => one !== reference),
  );
  tell(reference, compared, terminal);
  const lastMs = Math.max(...neighbours.map(({ temperatureC }) => temperatureC.lastMs));
  terminal.out(
    compared
      .slice(1)
      .map((one) => keysOf(one, reference.station, lastMs).join('\n'))
      .join('\n\n'),
  );
  return EXIT.fine;
}

function neighbourOf(
  readings: CalibrationReadings,
  station: StationConfig,
  span: TimeSpan,
): Neighbour | string {
  const found = readings.in(station.id, span);
  if (!found) return 'it said nothing in that time.';
  const temperatureC = settle(found.of('t'), MOST_T_DRIFT_C, 'the temperature', '°C');
  if (!temperatureC.ok) return temperatureC.detail;
  const humidity = found.of('rh');
  let humidityPercent: Settled | null = null;
  if (humidity.length > 0) {
    const settled = settle(humidity, MOST_RH_DRIFT, 'the humidity', '%RH');
    if (!settled.ok) return settled.detail;
    humidityPercent = settled;
  }
  const { temperatureToleranceC, rhTolerancePercent } = station;
  return { station: station.id, temperatureC, humidityPercent, temperatureToleranceC, rhTolerancePercent };
}

const figure = (value: number | null, places: number): string =>
  value === null ? '–' : value.toFixed(places);
const signed = (value: number, places: number): string =>
  `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(places)}`;

function tell(reference: Neighbour, compared: readonly Compared[], terminal: Terminal): void {
  terminal.err(`Against ${reference.station}, as the sensors say it themselves:`);
  terminal.err('  station          air, °C               humidity, %RH         vapour, g/m³');
  for (const one of compared) {
    const isReference = one.station === reference.station;
    const against = (offset: number | null, uncertainty: number | null, places: number): string =>
      isReference || offset === null ? '' : `(${signed(-offset, places)} ± ${figure(uncertainty, places)})`;
    const air = `${figure(one.temperatureC, 2)} ${against(one.temperatureOffsetC, one.temperatureUncertaintyC, 2)}`;
    const humidity = `${figure(one.humidityPercent, 2)} ${against(one.rhOffsetPercent, one.rhUncertaintyPercent, 2)}`;
    terminal.err(
      `  ${one.station.padEnd(16)} ${air.padEnd(21)} ${humidity.padEnd(21)} ${figure(one.vapourDensityGPerM3, 2)}`,
    );
  }
  for (const { station, beyondTolerance } of compared)
    for (const key of beyondTolerance)
      terminal.err(
        `${key === 't' ? 'The temperatures' : 'The humidities'} of ${station} and ${reference.station} differ by more than both tolerances together: one of the sensors is out of its tolerance. Which, only a check against salts${key === 't' ? ' or a thermometer' : ''} can tell.`,
      );
  terminal.err(
    'These offsets make the others say what the reference says at this one point; they hold as far as the reference does. Put them into the stations:\n',
  );
}

const keysOf = (one: Compared, reference: string, lastMs: number): readonly string[] => [
  `# [[station]] id = "${one.station}", beside ${reference}`,
  `calibrated = ${new Date(lastMs).toISOString().slice(0, 10)}`,
  `temperature_offset_c = ${one.temperatureOffsetC.toFixed(2)}`,
  ...(one.rhOffsetPercent === null ? [] : [`rh_offset_percent = ${one.rhOffsetPercent.toFixed(2)}`]),
];
