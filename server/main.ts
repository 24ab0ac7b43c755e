#!/usr/bin/env node
/** The command line: what each command takes, and the one place where a command's answer becomes an exit code. */
import { randomInt } from 'node:crypto';
import { homedir } from 'node:os';
import { createInterface } from 'node:readline';
import { Command, CommanderError } from 'commander';
import { backupCommand } from './cli/backup.ts';
import { addCalibrate } from './cli/calibrate-commands.ts';
import { type CheckCommand, checkCommand } from './cli/check.ts';
import { chooseBench } from './cli/choose-bench.ts';
import { LOG_LEVELS } from './cli/log.ts';
import { listenAddress, listOf, numberFrom, oneOf, wholeFrom } from './cli/options.ts';
import { describeAir, planAirRows, whyNot } from './cli/plan-air.ts';
import { addPlanCommands } from './cli/plan-questions.ts';
import { planStartFromCapture, planStartFromServer } from './cli/plan-start.ts';
import { addPorts } from './cli/ports-commands.ts';
import { readBenchFile } from './cli/read-bench-file.ts';
import { replayCommand } from './cli/replay.ts';
import { dataDirOf, runCommand } from './cli/run.ts';
import type { RunCommand } from './cli/serve-run.ts';
import { chooseScenario, simulateCommand } from './cli/simulate.ts';
import { EXIT, type ExitCode, type Terminal } from './cli/terminal.ts';
import { systemClock } from './clock.ts';
import { dataFolder, usualBenchFile } from './config/folders.ts';
import { USUAL_TOLERANCE } from './physics/tolerance.ts';
import { answerAir } from './planner/air.ts';
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

/** Settles at the first Ctrl-C or termination; a second one ends the program at once. */
const stopped = (): Promise<void> =>
  new Promise((settle) => {
    let asked = false;
    for (const signal of ['SIGINT', 'SIGTERM'] as const)
      process.on(signal, () => {
        if (asked) process.exit(1);
        asked = true;
        settle();
      });
  });
const surroundings = { platform: process.platform, env: process.env, home: homedir() };

program
  .command('run')
  .description('read the boards and serve the page; without a bench file, a simulated bench')
  .option('--bench <file>', 'bench file (else LOWDEW_BENCH, else bench.toml in the data folder)')
  .option('--simulate <scenario>', 'a simulated bench of this name, whatever bench files there are')
  .option('--speed <times>', 'speed of a simulated bench', numberFrom(0.1, 3600, 'times'), 60)
  .option(
    '--past <hours>',
    'hours of a simulated story that lie behind at the start',
    numberFrom(0, 48, 'h'),
    3,
  )
  .option('--data <folder>', "data folder (else LOWDEW_DATA, else the platform's)")
  .option('--listen <host:port>', "address to serve the page on, in place of the bench file's", listenAddress)
  .option('--log <level>', `log level: ${LOG_LEVELS.join(', ')}`, oneOf(LOG_LEVELS), 'info' as const)
  .option('--log-format <format>', 'text or json (else text on a terminal)', oneOf(['text', 'json']))
  .action(async (options) => {
    const folder = options.data ?? dataFolder(surroundings);
    const end = stopped();
    let { listen } = options;
    // A first run that has written its bench file begins again with it, at the same address.
    for (;;) {
      const chosen = await chooseBench(
        options.bench,
        options.simulate,
        folder,
        surroundings.env,
        terminal,
        'the one in the data folder is run then, else a simulated bench',
      );
      if (chosen.kind === 'mistaken') return finish(EXIT.badBenchOrOption);
      const scenario = chosen.kind === 'simulated' ? chooseScenario(options.simulate, terminal) : null;
      if (chosen.kind === 'simulated' && !scenario) return finish(EXIT.badBenchOrOption);
      const command: RunCommand = {
        bench: chosen.kind === 'file' ? chosen.bench : null,
        scenario,
        speed: options.speed,
        pastHours: options.past,
        dataDir: folder,
        benchFileTo:
          chosen.kind === 'simulated' && options.simulate === undefined ? usualBenchFile(folder) : null,
        listen: listen ?? null,
        logLevel: options.log,
        logFormat: options.logFormat ?? (process.stderr.isTTY ? 'text' : 'json'),
        random: () => randomInt(0, 2 ** 32) / 2 ** 32,
        env: process.env,
        stopped: end,
      };
      const ended = await runCommand(command, terminal);
      if (typeof ended === 'number') {
        finish(ended);
        break;
      }
      listen = { listenHost: listen?.listenHost ?? '127.0.0.1', listenPort: ended.port };
    }
    // Standard input keeps the process alive after everything else has ended.
    process.stdin.destroy();
  });

program
  .command('simulate')
  .description('boards of an invented story, on a virtual serial port, over TCP or to standard output')
  .argument('[scenario]', 'name of the story; without one, the first')
  .option('--port <kind>', 'pty, tcp or stdout', oneOf(['pty', 'tcp', 'stdout']), 'pty' as const)
  .option('--speed <times>', 'how many times as fast as life', numberFrom(0.1, 3600, 'times'), 1)
  .action(async (scenario, options) =>
    finish(
      await simulateCommand(
        { scenario, port: options.port, speed: options.speed, stopped: stopped() },
        terminal,
      ),
    ),
  );

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
  .command('check')
  .description(
    'look over the whole installation: bench file, ports and rights, disk, clock, versions, address',
  )
  .option('--bench <file>', 'bench file (else LOWDEW_BENCH, else bench.toml in the data folder)')
  .option('--data <folder>', "data folder (else LOWDEW_DATA, else the platform's)")
  .option('--format <format>', 'text or json', oneOf(['text', 'json']), 'text' as const)
  .option('--notify', 'send a test message to each receiver, and say what it answered')
  .action(async (options) => {
    const usual = options.data ?? dataFolder(surroundings);
    const chosen = await chooseBench(
      options.bench,
      undefined,
      usual,
      surroundings.env,
      terminal,
      'the one in the data folder is looked over then, if there is one',
    );
    if (chosen.kind === 'mistaken') return finish(EXIT.badBenchOrOption);
    const bench = chosen.kind === 'file' ? chosen.bench : null;
    const dataDir =
      options.data ?? (bench ? dataDirOf(bench, dataFolder(surroundings)) : dataFolder(surroundings));
    const command: CheckCommand = {
      bench,
      dataDir,
      clock: systemClock(),
      env: process.env,
      notify: options.notify ?? false,
      nodeVersion: process.version,
      format: options.format,
    };
    finish(await checkCommand(command, terminal));
  });

program
  .command('backup')
  .description('copy state and history whole, also while lowdew runs')
  .argument('<folder>', 'where the copies go; nothing there is overwritten')
  .option('--data <folder>', "data folder (else LOWDEW_DATA, else the platform's)")
  .action(async (folder, options) =>
    finish(await backupCommand(options.data ?? dataFolder(surroundings), folder, terminal)),
  );

addPorts(program, terminal, finish);
const calibrate = addCalibrate(program, terminal, finish);

const plan = program.command('plan').description('answer a what-if without any board');
plan
  .command('start')
  .description('when may a job start, so that every metre of it is under the moisture limit?')
  .requiredOption('--spool <id>', 'spool of the bench file')
  .requiredOption('--grams <g>', 'filament that the job takes', numberFrom(0.01, 50_000, 'g'))
  .requiredOption('--hours <h>', 'how long it prints', numberFrom(0.01, 240, 'h'))
  .option('--chamber-c <c>', 'air wanted in the chamber', numberFrom(0, 200, '°C'))
  .option('--station <id>', 'the chamber, where there are several')
  .option('--no-chamber', 'wait for no chamber')
  .option(
    '--box-c <c>',
    'box air during the job (else the material’s usual less 15, at most 60)',
    numberFrom(0, 150, '°C'),
  )
  .option('--exit-open', 'the filament’s way out of the box stands open')
  .option('--tube-m <m>', 'length of the tube from box to nozzle', numberFrom(0.01, 20, 'm'))
  .option('--tube-dry', 'the tube is kept dry')
  .option('--tube-stood-min <min>', 'how long filament has stood in it', numberFrom(0, 100_000, 'min'))
  .option('--sure <p>', 'how sure it must be', numberFrom(0.5, 0.999, ''), 0.9)
  .option('--url <url>', 'ask the running server', 'http://127.0.0.1:7323')
  .option('--token <token>', 'for a server that asks for one (else LOWDEW_TOKEN)')
  .option('--capture <file>', 'ask a capture instead, as of its last row')
  .option('--bench <file>', 'bench file of the capture')
  .option('--format <format>', 'text or json', oneOf(['text', 'json']), 'text' as const)
  .action(async (options) => {
    const { spool, grams, hours, sure, chamberC, boxC, exitOpen, tubeM, tubeDry, tubeStoodMin } = options;
    const query = {
      spool,
      grams,
      hours,
      sure,
      ...(options.station === undefined ? {} : { chamber: options.station }),
      ...(chamberC === undefined ? {} : { chamberC }),
      ...(boxC === undefined ? {} : { boxC }),
      ...(exitOpen ? { exitOpen: true } : {}),
      ...(tubeM === undefined ? {} : { tubeM }),
      ...(tubeDry ? { tubeDry: true } : {}),
      ...(tubeStoodMin === undefined ? {} : { tubeStoodMin }),
    };
    const command = { query, withChamber: options.chamber, format: options.format };
    if (options.capture === undefined) {
      const token = options.token ?? process.env['LOWDEW_TOKEN'] ?? null;
      return finish(await planStartFromServer(command, options.url, token, terminal));
    }
    if (options.bench === undefined) {
      terminal.err('A capture needs its bench file: --bench FILE.');
      return finish(EXIT.badBenchOrOption);
    }
    const bench = await readBenchFile(options.bench, terminal);
    if (!bench) return finish(EXIT.badBenchOrOption);
    finish(await planStartFromCapture(command, options.capture, bench, terminal));
  });
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

addPlanCommands(plan, terminal, finish);

for (const command of [program, ...program.commands, ...plan.commands, ...calibrate.commands])
  command.exitOverride();

try {
  await program.parseAsync();
} catch (error) {
  if (!(error instanceof CommanderError)) throw error;
  // Help and version are answers; everything else that commander refuses is a bad option.
  finish(error.exitCode === 0 ? EXIT.fine : EXIT.badBenchOrOption);
}
