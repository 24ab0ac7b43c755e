/** `lowdew plan air`: what a temperature and a humidity say about air, and how little of it a sensor makes sure. */
import type { Tolerance } from '../physics/tolerance.ts';
import { type AirAnswer, type AirQuestion, answerAir } from '../planner/air.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export const AIR_RANGES = {
  airTemperatureC: { low: -40, high: 120, unit: '°C', name: 'temperature' },
  relativeHumidityPercent: { low: 0, high: 100, unit: '%RH', name: 'humidity' },
  pressureHPa: { low: 300, high: 1100, unit: 'hPa', name: 'pressure' },
} as const;

/** The first thing wrong with a question, as a sentence; null where it can be answered. */
export function whyNot(question: AirQuestion): string | null {
  for (const key of ['airTemperatureC', 'relativeHumidityPercent', 'pressureHPa'] as const) {
    const range = AIR_RANGES[key];
    const value = question[key];
    if (!(value >= range.low && value <= range.high))
      return `The ${range.name} must be a number from ${range.low} to ${range.high} ${range.unit}, not ${value}.`;
  }
  return null;
}

const one = (value: number): string => value.toFixed(1).replace('-0.0', '0.0');

/** The answer in lines a person reads. */
export function describeAir(answer: AirAnswer): string {
  const band = answer.dewPointBand;
  const over = answer.dewPointC !== null && answer.dewPointC < 0 ? ' over supercooled water' : '';
  const dew =
    band === null
      ? 'none within the formulas (no vapour, or below −40 °C)'
      : band.kind === 'at-most'
        ? `at or below ${one(band.highC)} °C: the sensor's tolerance leaves no lower end`
        : band.kind === 'interval'
          ? `${band.lowC === null ? 'below −40' : one(band.lowC)} to ${one(band.highC)} °C: the air is too dry for one number`
          : `${one(answer.dewPointC ?? band.highC)} °C (${one(band.lowC ?? -40)} to ${one(band.highC)})${over}`;
  const density = answer.vapourDensityBandGPerM3;
  const rows: [string, string][] = [
    ['air', `${answer.airTemperatureC} °C, ${answer.relativeHumidityPercent} %RH, ${answer.pressureHPa} hPa`],
    ['dew point', dew],
    [
      'frost point',
      answer.frostPointC === null
        ? answer.vapourPressurePa > 600
          ? 'none: water would condense as dew'
          : 'none within the formulas (no vapour, or below −100 °C)'
        : `${one(answer.frostPointC)} °C`,
    ],
    [
      'vapour density',
      `${answer.vapourDensityGPerM3.toFixed(2)} g/m³${density ? ` (${density.low.toFixed(2)} to ${density.high.toFixed(2)})` : ''}`,
    ],
    [
      'vapour pressure',
      `${answer.vapourPressurePa.toFixed(1)} Pa of ${answer.saturationPressurePa.toFixed(1)} Pa saturated`,
    ],
    ['vapour pressure deficit', `${answer.vapourPressureDeficitPa.toFixed(1)} Pa`],
    [
      'humidity ratio',
      answer.humidityRatioKgPerKg === null
        ? 'none: the vapour alone reaches the air pressure'
        : `${answer.humidityRatioKgPerKg.toPrecision(5)} kg per kg of dry air`,
    ],
  ];
  const width = Math.max(...rows.map(([label]) => label.length));
  return rows.map(([label, text]) => `${label.padEnd(width)}  ${text}`).join('\n');
}

const NUMBER = /^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$/;

/** `t_c,rh_percent[,p_hpa]` to a question, or a sentence that says what is wrong with the row. */
export function parseRow(row: string, pressureHPa: number): AirQuestion | string {
  const cells = row.split(',').map((cell) => cell.trim());
  if (cells.length < 2 || cells.length > 3)
    return `A row is t_c,rh_percent[,p_hpa]; this has ${cells.length} cells.`;
  const bad = cells.find((cell) => !NUMBER.test(cell));
  if (bad !== undefined) return `"${bad.slice(0, 40)}" is not a number.`;
  const [airTemperatureC, relativeHumidityPercent, ownPressureHPa] = cells.map(Number) as [
    number,
    number,
    number?,
  ];
  const question = { airTemperatureC, relativeHumidityPercent, pressureHPa: ownPressureHPa ?? pressureHPa };
  return whyNot(question) ?? question;
}

/** Answers rows as they come: one JSON object a line, bad rows by their number in the input, others unharmed. */
export async function planAirRows(
  lines: AsyncIterable<string>,
  pressureHPa: number,
  tolerance: Tolerance,
  terminal: Terminal,
): Promise<ExitCode> {
  let row = 0;
  let bad = 0;
  for await (const line of lines) {
    row++;
    const text = line.trim();
    if (text === '' || text.startsWith('#')) continue;
    const question = parseRow(text, pressureHPa);
    if (typeof question === 'string') {
      bad++;
      terminal.out(JSON.stringify({ error: question, row }));
    } else terminal.out(JSON.stringify(answerAir(question, tolerance)));
  }
  if (bad > 0) terminal.err(`${bad} row${bad === 1 ? ' was' : 's were'} not understood.`);
  return bad > 0 ? EXIT.someRowsBad : EXIT.fine;
}
