/** `lowdew check`: looks over the whole installation and says of each thing whether it is as it should be. */
import { accessSync, constants, existsSync, statfsSync, statSync } from 'node:fs';
import { createServer } from 'node:net';
import { dirname, join } from 'node:path';
import type { Clock } from '../clock.ts';
import type { BenchConfig, SourceConfig } from '../config/bench.ts';
import { isLoopback } from '../config/loopback.ts';
import { type FoundPort, listPorts } from '../serial/list-ports.ts';
import { StorageError } from '../storage/errors.ts';
import { loadDatabaseEngine } from '../storage/sqlite.ts';
import { utcText } from '../utc.ts';
import { lookAtReceivers, tryReceivers } from './check-notify.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface CheckCommand {
  /** Null: there is no bench file, so a simulated bench would run. */
  readonly bench: BenchConfig | null;
  readonly dataDir: string;
  readonly clock: Clock;
  /** Where secrets of receivers may lie. */
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Send a test message to each receiver. */
  readonly notify: boolean;
  readonly nodeVersion: string;
  readonly format: 'text' | 'json';
}

interface Finding {
  readonly about: string;
  readonly state: 'as it should be' | 'look';
  readonly says: string;
}

/** Before this was written no clock can be right. */
const EARLIEST_MS = Date.UTC(2026, 0, 1);
const LEAST_FREE_BYTES = 500e6;
const LEAST_NODE = [20, 19] as const;

const good = (about: string, says: string): Finding => ({ about, state: 'as it should be', says });
const look = (about: string, says: string): Finding => ({ about, state: 'look', says });

export async function checkCommand(command: CheckCommand, terminal: Terminal): Promise<ExitCode> {
  const { bench, clock } = command;
  const { wallMs: nowMs } = clock.now();
  const findings: Finding[] = [
    checkNode(command.nodeVersion),
    nowMs < EARLIEST_MS
      ? look('clock', `The clock says ${utcText(nowMs)}: set it, or let a time server.`)
      : good('clock', utcText(nowMs)),
    bench
      ? good(
          'bench file',
          `${bench.file}: ${count(bench.sources.length, 'source')}, ${count(bench.stations.length, 'station')}, ${count(bench.spools.length, 'spool')}`,
        )
      : look('bench file', 'There is none: `lowdew run` shows a simulated bench. Name one with --bench.'),
    ...(bench ? await checkSources(bench.sources) : []),
    ...(bench && !bench.stations.some(({ role }) => role === 'room')
      ? [
          look(
            'stations',
            'No station has the role room: floors and vent flow are guessed at. A sensor in the room sharpens both.',
          ),
        ]
      : []),
    ...(bench ? checkCalibrations(bench.stations, nowMs) : []),
    ...(await checkData(command.dataDir)),
    ...(bench ? [await checkListening(bench.listenHost, bench.listenPort)] : []),
    ...(await checkReceivers(command)),
  ];
  if (command.format === 'json') terminal.out(JSON.stringify({ findings }));
  else
    for (const { about, state, says } of findings)
      terminal.out(`${state === 'look' ? 'LOOK ' : '     '} ${about.padEnd(14)} ${says}`);
  return findings.some(({ state }) => state === 'look') ? EXIT.someRowsBad : EXIT.fine;
}

async function checkReceivers({ bench, clock, env, notify }: CheckCommand): Promise<Finding[]> {
  const receivers = bench?.receivers ?? [];
  if (receivers.length === 0)
    return notify ? [look('receivers', 'The bench file has no [[receiver]]: there is nobody to tell.')] : [];
  const found = notify ? await tryReceivers(receivers, clock, env) : lookAtReceivers(receivers, clock, env);
  return found.map(({ id, says, answer }) =>
    (answer.outcome === 'taken' ? good : look)(`receiver ${id}`, says),
  );
}

/** Sensors drift, those that are hot now and then the more; how long a calibration holds is judgement. */
const CALIBRATION_HOLDS_MS = 365 * 86_400_000;

function checkCalibrations(stations: BenchConfig['stations'], nowMs: number): Finding[] {
  return stations.flatMap(({ id, correction }) => {
    const on = correction?.calibratedOn ?? null;
    if (on === null || nowMs - Date.parse(on) <= CALIBRATION_HOLDS_MS) return [];
    return [
      look(
        `station ${id}`,
        `Its calibration is of ${on}, more than a year ago, and sensors drift: calibrate it again (\`lowdew calibrate\`) and put what that prints into the bench file.`,
      ),
    ];
  });
}

const count = (n: number, what: string): string => `${n} ${what}${n === 1 ? '' : 's'}`;

function checkNode(version: string): Finding {
  const [major = 0, minor = 0] = version.replace(/^v/, '').split('.').map(Number);
  const fits = major > LEAST_NODE[0] || (major === LEAST_NODE[0] && minor >= LEAST_NODE[1]);
  return fits
    ? good('Node', version)
    : look('Node', `${version} is too old: ${LEAST_NODE.join('.')} or later is needed.`);
}

async function checkSources(sources: readonly SourceConfig[]): Promise<Finding[]> {
  if (sources.length === 0)
    return [look('sources', 'The bench file has no [[source]]: nothing would be read.')];
  const { ports } = await listPorts();
  const there =
    ports.length > 0
      ? `There: ${ports.map(({ byIdPath, path }) => byIdPath ?? path).join(', ')}.`
      : 'No port is there.';
  return sources.map((source) => checkSource(source, ports, there));
}

function checkSource(source: SourceConfig, ports: readonly FoundPort[], there: string): Finding {
  const about = `source ${source.id}`;
  switch (source.way) {
    case 'port': {
      if (!existsSync(source.path))
        return look(about, `${source.path} is not there. Plug the board in. ${there}`);
      try {
        accessSync(source.path, constants.R_OK | constants.W_OK);
      } catch {
        return look(
          about,
          `${source.path} may not be opened by this user: add it to the group that owns the port (often dialout) and log in again.`,
        );
      }
      return good(about, source.path);
    }
    case 'serial-number': {
      const port = ports.find(({ serialNumber }) => serialNumber === source.serialNumber);
      return port
        ? good(about, port.path)
        : look(about, `No port has serial number ${source.serialNumber}. ${there}`);
    }
    case 'tcp':
      return good(about, `${source.host}:${source.port}, tried when running`);
    case 'stdin':
      return good(about, 'standard input');
  }
}

async function checkData(folder: string): Promise<Finding[]> {
  // The nearest folder above that exists is the one that must allow it.
  let standing = folder;
  while (!existsSync(standing) && dirname(standing) !== standing) standing = dirname(standing);
  if (!statSync(standing).isDirectory()) return [look('data folder', `${standing} is a file, not a folder.`)];
  try {
    accessSync(standing, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch {
    return [look('data folder', `${standing} may not be written by this user.`)];
  }
  const { bavail, bsize } = statfsSync(standing);
  const freeBytes = bavail * bsize;
  const findings = [
    freeBytes < LEAST_FREE_BYTES
      ? look('data folder', `${folder}: only ${Math.round(freeBytes / 1e6)} MB are free.`)
      : good('data folder', `${folder}, ${(freeBytes / 1e9).toFixed(1)} GB free`),
  ];
  const history = join(folder, 'history.sqlite');
  if (!existsSync(history)) return [...findings, good('history', 'none yet')];
  try {
    const db = (await loadDatabaseEngine())(history, 'read-only');
    const answer = db.prepare('PRAGMA quick_check(1)').get();
    const says = String(Object.values(answer ?? {})[0]);
    db.close();
    return [
      ...findings,
      says === 'ok'
        ? good('history', `${(statSync(history).size / 1e6).toFixed(1)} MB, whole`)
        : look('history', `It is damaged (${says}): it will be set aside at the next start.`),
    ];
  } catch (error) {
    if (!(error instanceof StorageError)) throw error;
    return [...findings, look('history', error.message)];
  }
}

async function checkListening(host: string, port: number): Promise<Finding> {
  const where = `${host}:${port}`;
  const trouble = await new Promise<string | null>((settle) => {
    const server = createServer();
    server.once('error', (error: NodeJS.ErrnoException) => settle(error.code ?? error.message));
    server.listen(port, host, () => server.close(() => settle(null)));
  });
  if (trouble === 'EADDRINUSE') return look('address', `${where} is taken: is lowdew running already?`);
  if (trouble !== null) return look('address', `${where} cannot be listened on (${trouble}).`);
  return good(
    'address',
    isLoopback(host)
      ? `${where}, this computer alone`
      : `${where}, with a token; readable on the network unless TLS is set up`,
  );
}
