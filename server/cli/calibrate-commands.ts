/** The options of `lowdew calibrate …`. */
import { type Command, InvalidArgumentError } from 'commander';
import { SALTS, type Salt } from '../physics/salts.ts';
import { calibrateSaltsCommand } from './calibrate-salts.ts';
import { calibrateScaleCommand } from './calibrate-scale.ts';
import { calibrateSideBySideCommand } from './calibrate-side-by-side.ts';
import { stationName } from './options.ts';
import { readBenchFile } from './read-bench-file.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';
import { parseSpan, SPAN_FORM, type TimeSpan } from './time-span.ts';

function span(text: string): TimeSpan {
  const parsed = parseSpan(text);
  if (!parsed) throw new InvalidArgumentError(`"${text}" is no time: give ${SPAN_FORM}.`);
  return parsed;
}

const split = (text: string): readonly [string, string] => {
  const equals = text.indexOf('=');
  return [text.slice(0, Math.max(0, equals)), text.slice(equals + 1)];
};

interface Point {
  readonly salt: Salt;
  readonly span: TimeSpan;
}
function point(text: string, before: readonly Point[] = []): readonly Point[] {
  const [salt, time] = split(text);
  if (!(SALTS as readonly string[]).includes(salt))
    throw new InvalidArgumentError(`Give a salt (${SALTS.join(', ')}), "=" and a time: ${SPAN_FORM}.`);
  if (before.some((one) => one.salt === salt)) throw new InvalidArgumentError(`${salt} stands twice.`);
  return [...before, { salt: salt as Salt, span: span(time) }];
}

interface Run {
  readonly massG: number;
  readonly span: TimeSpan;
}
function run(text: string, before: readonly Run[] = []): readonly Run[] {
  const [mass, time] = split(text);
  if (!/^\d{1,5}(\.\d+)?$/.test(mass))
    throw new InvalidArgumentError(`Give the grams that lay on the scale, "=" and a time: ${SPAN_FORM}.`);
  return [...before, { massG: Number(mass), span: span(time) }];
}

export function addCalibrate(
  program: Command,
  terminal: Terminal,
  finish: (code: ExitCode) => void,
): Command {
  const calibrate = program
    .command('calibrate')
    .description('constants of sensors, from what they said against something known; nothing is written');
  const capture = [
    '<capture>',
    'capture file, or the folder "captures" of the data folder (also while lowdew runs)',
  ] as const;
  const bench = ['--bench <file>', 'bench file with the stations'] as const;
  const station = ['--station <name>', 'whose sensor it is', stationName] as const;

  calibrate
    .command('salts')
    .description('a humidity sensor that lay over saturated salts (fixed points after Greenspan 1977)')
    .argument(...capture)
    .requiredOption(...bench)
    .requiredOption(...station)
    .requiredOption(
      '--point <salt=time>',
      `${SALTS.join(', ')} and when: ${SPAN_FORM}; give it once for each salt`,
      point,
    )
    .action(async (path, options) => {
      const file = await readBenchFile(options.bench, terminal);
      if (!file) return finish(EXIT.badBenchOrOption);
      const command = { capture: path, bench: file, station: options.station, points: options.point };
      finish(await calibrateSaltsCommand(command, terminal));
    });
  calibrate
    .command('side-by-side')
    .description('sensors that lay together in the same air')
    .argument(...capture)
    .requiredOption(...bench)
    .requiredOption('--time <time>', `when: ${SPAN_FORM}`, span)
    .option(
      '--reference <station>',
      'which of them the others are held against (else the room’s)',
      stationName,
    )
    .action(async (path, options) => {
      const file = await readBenchFile(options.bench, terminal);
      if (!file) return finish(EXIT.badBenchOrOption);
      const command = {
        capture: path,
        bench: file,
        span: options.time,
        reference: options.reference ?? null,
      };
      finish(await calibrateSideBySideCommand(command, terminal));
    });
  calibrate
    .command('scale')
    .description('a load cell that carried known masses, best once empty and once loaded while it warmed up')
    .argument(...capture)
    .requiredOption(...bench)
    .requiredOption(...station)
    .requiredOption(
      '--run <grams=time>',
      `what lay on it and when: ${SPAN_FORM}; give it once for each run`,
      run,
    )
    .action(async (path, options) => {
      const file = await readBenchFile(options.bench, terminal);
      if (!file) return finish(EXIT.badBenchOrOption);
      const command = { capture: path, bench: file, station: options.station, runs: options.run };
      finish(await calibrateScaleCommand(command, terminal));
    });
  return calibrate;
}
