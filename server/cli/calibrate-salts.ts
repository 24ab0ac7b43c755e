/** `lowdew calibrate salts`: a station's humidity sensor against saturated salts, from what it said over them. */
import type { BenchConfig, StationConfig } from '../config/bench.ts';
import { checkSalts, type SaltCheck, type SaltPoint } from '../intake/calibration/salt-check.ts';
import { settle } from '../intake/calibration/settled.ts';
import { LICL_LEAST_C, type Salt, saltName } from '../physics/salts.ts';
import { type CalibrationReadings, readForCalibration } from './calibration-readings.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';
import type { TimeSpan } from './time-span.ts';

export interface SaltsCommand {
  readonly capture: string;
  readonly bench: BenchConfig;
  readonly station: string;
  readonly points: readonly { readonly salt: Salt; readonly span: TimeSpan }[];
}

/** Between the halves of a span: what a sensor that has come to rest may still wander. Judgement. */
const MOST_RH_DRIFT = 0.5;
const MOST_T_DRIFT_C = 0.3;
/** A humidity sensor that was hot reads low for so long (a maker's manual: 1–3 days). */
const HEAT_FORGOTTEN_MS = 72 * 3_600_000;
const LICL_CAUTION =
  'Lithium chloride is harmful if swallowed and irritates skin and eyes: gloves, glasses, no food near it, out of children’s reach; the maker’s safety data sheet comes first. Keep it above 18 °C, and never add water to the dry salt.';

export async function calibrateSaltsCommand(command: SaltsCommand, terminal: Terminal): Promise<ExitCode> {
  const station = command.bench.stations.find(({ id }) => id === command.station);
  if (!station) {
    terminal.err(
      `There is no station "${command.station}" in the bench file; there are ${command.bench.stations.map(({ id }) => id).join(', ')}.`,
    );
    return EXIT.badBenchOrOption;
  }
  const spans = command.points.map(({ span }) => span);
  const readings = await readForCalibration(command.capture, command.bench, spans, terminal);
  if (typeof readings === 'number') return readings;
  const points: SaltPoint[] = [];
  for (const { salt, span } of command.points) {
    const point = pointOf(readings, station, salt, span);
    if (typeof point === 'string') {
      terminal.err(`Over ${saltName(salt)}: ${point}`);
      return EXIT.someRowsBad;
    }
    points.push(point);
    for (const caution of cautionsOf(readings, station, point, span)) terminal.err(caution);
  }
  const check = checkSalts(points);
  if (!check.ok) {
    terminal.err(check.detail);
    return EXIT.someRowsBad;
  }
  tell(station, check, terminal);
  const lastMs = Math.max(...points.map(({ said }) => said.lastMs));
  terminal.out(keysOf(station, check, lastMs).join('\n'));
  return EXIT.fine;
}

/** A sentence where the sensor had not come to rest. */
function pointOf(
  readings: CalibrationReadings,
  station: StationConfig,
  salt: Salt,
  span: TimeSpan,
): SaltPoint | string {
  const found = readings.in(station.id, span);
  if (!found) return `${station.id} said nothing in that time.`;
  const said = settle(found.of('rh'), MOST_RH_DRIFT, 'the humidity', '%RH');
  if (!said.ok) return said.detail;
  const air = settle(found.of('t'), MOST_T_DRIFT_C, 'the temperature', '°C');
  if (!air.ok) return air.detail;
  return { salt, said, temperatureC: air.mean + (station.correction?.temperatureOffsetC ?? 0) };
}

function cautionsOf(
  readings: CalibrationReadings,
  station: StationConfig,
  { salt, said, temperatureC }: SaltPoint,
  span: TimeSpan,
): readonly string[] {
  const cautions: string[] = [];
  const hotMs = readings.in(station.id, span)?.lastHotMs ?? null;
  if (hotMs !== null && said.lastMs - hotMs < HEAT_FORGOTTEN_MS)
    cautions.push(
      `Careful: ${station.id} was above 50 °C ${Math.round((said.lastMs - hotMs) / 3_600_000)} h before. A humidity sensor reads 1 to 2 %RH low for one to three days after heat; what is found now goes away by itself. Better repeat it then.`,
    );
  if (salt === 'licl') cautions.push(LICL_CAUTION);
  if (salt === 'licl' && temperatureC < LICL_LEAST_C)
    cautions.push(
      `It stood at ${temperatureC.toFixed(1)} °C, below 18 °C: the solution may be changed for good.`,
    );
  return cautions;
}

const signed = (value: number, places: number): string =>
  `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(places)}`;

function tell(station: StationConfig, check: SaltCheck & { readonly ok: true }, terminal: Terminal): void {
  terminal.err(`${station.id} over saturated salts (fixed points after Greenspan 1977):`);
  for (const { salt, temperatureC, saidPercent, meantPercent, uncertaintyPercent } of check.points)
    terminal.err(
      `  ${saltName(salt).padEnd(18)} ${temperatureC.toFixed(1)} °C: said ${saidPercent.toFixed(2)}, is ${meantPercent.toFixed(2)} %RH: off by ${signed(saidPercent - meantPercent, 2)} ± ${uncertaintyPercent.toFixed(2)}`,
    );
  const gain =
    check.gainUncertainty === 0
      ? 'said (one point tells no gain)'
      : `${check.gain.toFixed(4)} (± ${check.gainUncertainty.toFixed(4)}) × said`;
  terminal.err(
    `Humidity = ${gain} ${signed(check.offsetPercent, 2)} (± ${check.offsetUncertaintyPercent.toFixed(2)}) %RH.`,
  );
  if (check.gainUncertainty > 0)
    terminal.err(
      `What is left where it says 5 %RH: ± ${check.uncertaintyAt(5).toFixed(1)}; at 40 %RH: ± ${check.uncertaintyAt(40).toFixed(1)} (two standard uncertainties, at about this temperature).`,
    );
  terminal.err(
    station.role === 'room' || station.role === 'storage'
      ? `Then rh_tolerance_percent may be ${(Math.ceil(10 * Math.max(check.uncertaintyAt(20), check.uncertaintyAt(60))) / 10).toFixed(1)}.`
      : 'No salt stands below 11 %RH, and heat shifts the sensor: leave rh_tolerance_percent as it is for a heated place.',
  );
  terminal.err(`Put this into the [[station]] with id = "${station.id}":\n`);
}

const keysOf = (
  station: StationConfig,
  check: SaltCheck & { readonly ok: true },
  lastMs: number,
): readonly string[] => [
  `calibrated = ${new Date(lastMs).toISOString().slice(0, 10)}  # ${station.id}: ${check.points.map(({ salt, saidPercent }) => `${saidPercent.toFixed(2)} over ${salt}`).join(', ')}`,
  ...(check.gainUncertainty > 0 ? [`rh_gain = ${check.gain.toFixed(4)}`] : []),
  `rh_offset_percent = ${check.offsetPercent.toFixed(2)}`,
];
