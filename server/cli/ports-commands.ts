/** The options of `lowdew ports`. */
import type { Command } from 'commander';
import { systemClock } from '../clock.ts';
import { ROLES } from '../records.ts';
import { columnKeys, listenPlace, numberFrom, oneOf, stationName, wholeFrom } from './options.ts';
import { portsCommand } from './ports.ts';
import { type ListenCommand, portsListenCommand } from './ports-listen.ts';
import { roleOf } from './propose-bench.ts';
import type { ExitCode, Terminal } from './terminal.ts';

export function addPorts(program: Command, terminal: Terminal, finish: (code: ExitCode) => void): void {
  program
    .command('ports')
    .description('list the serial ports that are there, or listen on one and propose its bench file')
    .option('--format <format>', 'text or json', oneOf(['text', 'json']), 'text' as const)
    .option(
      '--listen <port>',
      'a port, host:port, or - for standard input: show what comes and what it may be',
      listenPlace,
    )
    .option(
      '--baud <baud>',
      'speed of the port (else the usual ones are tried)',
      wholeFrom(300, 4_000_000, 'baud'),
    )
    .option('--seconds <seconds>', 'how long to listen at most at each speed', numberFrom(1, 3600, 's'), 20)
    .option('--columns <keys>', "keys of the line's numbers in order, as t,rh,-", columnKeys)
    .option('--station <name>', 'name of the station in the proposal', stationName, 'box')
    .option('--role <role>', `its role: ${ROLES.join(', ')}`, oneOf(ROLES))
    .action(async (options) => {
      if (options.listen === undefined) return finish(await portsCommand(options.format, terminal));
      const command: ListenCommand = {
        where: options.listen,
        baud: options.baud ?? null,
        seconds: options.seconds,
        columns: options.columns ?? null,
        station: options.station,
        role: options.role ?? roleOf(options.station),
        clock: systemClock(),
        input: process.stdin,
      };
      finish(await portsListenCommand(command, terminal));
      process.stdin.destroy();
    });
}
