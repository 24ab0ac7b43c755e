#!/usr/bin/env node
/** The command line: what each command takes, and the one place where a command's answer becomes an exit code. */
import { createInterface } from 'node:readline';
import { Command, CommanderError } from 'commander';
import { listOf, numberFrom, oneOf, wholeFrom } from './cli/options.ts';
import { answerAir, describeAir, planAirRows, whyNot } from './cli/plan-air.ts';
import { portsCommand } from './cli/ports.ts';
import { readBenchFile } from './cli/read-bench-file.ts';
import { replayCommand } from './cli/replay.ts';
import { EXIT, type ExitCode, type Terminal } from './cli/terminal.ts';
import { USUAL_TOLERANCE } from './physics/tolerance.ts';
import { RECORD_KINDS } from './replay.ts';
import { VERSION } from './version.ts';

const terminal: Terminal = {
  out: (text) => {
    process.stdout.write(`${text}\n`);
  },
  err: (text) => {
    process.stderr.write(`${text}\n`);
  },
};
// A reader that has seen enough (`| head`) is no mistake of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(EXIT.fine);
  throw error;
});

const finish = (code: ExitCode): void => {
  process.exitCode = code;
};

const program = new Command('lowdew')
  .description(
    'Is the spool dry enough, is the chamber soaked, and when may the print start?\nMonitors and advises; it is not a safety device and switches nothing.',
  )
  .version(VERSION)
  .showHelpAfterError('(lowdew --help lists the commands)')
  .exitOverride();

program
  .command('replay')
  .description('run a capture file through the same judgement in virtual time; records to standard output')
  .argument('<capture>', 'capture file')
  .requiredOption('--bench <file>', 'bench file with the stations and spools of the capture')
  .option('--every <seconds>', 'seconds between air and drying records', wholeFrom(1, 86_400, 's'), 60)
  .option('--kind <kinds>', 'comma-separated record kinds', listOf(RECORD_KINDS))
  .option('--format <format>', 'ndjson or text', oneOf(['ndjson', 'text']), 'ndjson' as const)
  .action(async (capture, options) => {
    const bench = await readBenchFile(options.bench, terminal);
    if (!bench) return finish(EXIT.badBenchOrOption);
    const kinds = options.kind ?? new Set(RECORD_KINDS.filter((kind) => kind !== 'reading'));
    finish(
      await replayCommand({ capture, bench, everyS: options.every, kinds, format: options.format }, terminal),
    );
  });

program
  .command('ports')
  .description('list the serial ports that are there')
  .option('--format <format>', 'text or json', oneOf(['text', 'json']), 'text' as const)
  .action(async (options) => finish(await portsCommand(options.format, terminal)));

const plan = program.command('plan').description('answer a what-if without any board');
plan
  .command('air')
  .description('dew point, vapour density and what a sensor makes sure of them')
  .option('--temperature <c>', 'air temperature, °C', numberFrom(-40, 120, '°C'))
  .option('--rh <percent>', 'relative humidity over liquid water, %RH', numberFrom(0, 100, '%RH'))
  .option('--pressure-hpa <hpa>', 'air pressure, hPa', numberFrom(300, 1100, 'hPa'), 1013.25)
  .option(
    '--rh-tolerance <percent>',
    'tolerance of the humidity sensor, %RH',
    numberFrom(0, 50, '%RH'),
    USUAL_TOLERANCE.rhPercent,
  )
  .option(
    '--temperature-tolerance <c>',
    'tolerance of the temperature sensor, °C',
    numberFrom(0, 20, '°C'),
    USUAL_TOLERANCE.temperatureC,
  )
  .option('--stdin', 'read rows t_c,rh_percent[,p_hpa] from standard input; answers one JSON object a line')
  .option('--format <format>', 'text or json', oneOf(['text', 'json']), 'text' as const)
  .action(async (options, command: Command) => {
    const tolerance = { rhPercent: options.rhTolerance, temperatureC: options.temperatureTolerance };
    if (options.stdin) {
      const lines = createInterface({ input: process.stdin, crlfDelay: Number.POSITIVE_INFINITY });
      return finish(await planAirRows(lines, options.pressureHpa, tolerance, terminal));
    }
    if (options.temperature === undefined || options.rh === undefined)
      command.error('error: give --temperature and --rh, or --stdin with rows of them.', {
        exitCode: EXIT.badBenchOrOption,
      });
    const question = {
      airTemperatureC: options.temperature as number,
      relativeHumidityPercent: options.rh as number,
      pressureHPa: options.pressureHpa,
    };
    const trouble = whyNot(question);
    if (trouble !== null) command.error(`error: ${trouble}`, { exitCode: EXIT.badBenchOrOption });
    const answer = answerAir(question, tolerance);
    terminal.out(options.format === 'json' ? JSON.stringify(answer) : describeAir(answer));
    finish(EXIT.fine);
  });

for (const command of [program, ...program.commands, ...plan.commands]) command.exitOverride();

try {
  await program.parseAsync();
} catch (error) {
  if (!(error instanceof CommanderError)) throw error;
  // Help and version are answers; everything else that commander refuses is a bad option.
  finish(error.exitCode === 0 ? EXIT.fine : EXIT.badBenchOrOption);
}
