/**
 * `lowdew ports --listen`: what arrives on a port, at which speed it reads as text, and the bench file that takes it
 * in. The proposal goes to standard output, so that it can be kept as it is; all else to standard error.
 */
import type { Readable } from 'node:stream';
import { stripVTControlCharacters } from 'node:util';
import type { Clock } from '../clock.ts';
import { readBench } from '../config/read-bench.ts';
import { guessLines, type LinesGuess } from '../intake/guess/guess-lines.ts';
import { legible } from '../intake/guess/line-shape.ts';
import { MATERIAL_KEYS } from '../physics/materials.ts';
import type { Role } from '../records.ts';
import { listPorts } from '../serial/list-ports.ts';
import { SourceError } from '../serial/trouble.ts';
import { type WayConfig, wayIn } from '../serial/ways.ts';
import { USUAL_BAUDS } from './hear-port.ts';
import { type Heard, listenIn } from './listen-in.ts';
import { type ProposedSource, proposeBench } from './propose-bench.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface ListenCommand {
  readonly where: WayConfig;
  /** Null: the usual ones are tried. */
  readonly baud: number | null;
  readonly seconds: number;
  /** Keys in place of the guessed ones. */
  readonly columns: readonly string[] | null;
  readonly station: string;
  readonly role: Role;
  readonly clock: Clock;
  readonly input: Readable;
}

const KIND_WORDS: Readonly<Record<LinesGuess['kind'], string>> = {
  ld1: 'LD1, lowdew’s own lines',
  senml: 'SenML (RFC 8428)',
  json: 'JSON objects of a sketch’s own',
  columns: 'columns of numbers',
  named: 'numbers with names',
  prose: 'text with numbers in it',
  unknown: 'nothing that lowdew can read',
};

export async function portsListenCommand(command: ListenCommand, terminal: Terminal): Promise<ExitCode> {
  const { where } = command;
  const bauds = where.way === 'port' ? (command.baud === null ? USUAL_BAUDS : [command.baud]) : [null];
  let found: { heard: Heard; baud: number | null } | null = null;
  for (const baud of bauds) {
    const way = wayIn(where.way === 'port' ? { ...where, baud: baud as number } : where, {
      clock: command.clock,
      input: command.input,
    });
    terminal.err(`Listening: ${way.describe()}. Nothing is sent.`);
    let heard: Heard;
    try {
      heard = await listenIn(way, command.clock, command.seconds, (line) =>
        terminal.err(`  | ${show(line)}`),
      );
    } catch (error) {
      if (!(error instanceof SourceError)) throw error;
      terminal.err(error.message);
      return EXIT.someRowsBad;
    }
    if ((heard.outcome === 'noise' || heard.outcome === 'unsure') && baud !== null && baud !== bauds.at(-1)) {
      terminal.err(`  ${heard.bytes} bytes, and no line of text among them: not this speed.`);
      continue;
    }
    if (heard.outcome !== 'text') {
      terminal.err(whyNothing(heard, way.describe(), command, bauds.length));
      return EXIT.someRowsBad;
    }
    if (heard.trouble !== null) terminal.err(heard.trouble.sentence);
    found = { heard, baud };
    break;
  }
  if (!found) throw new Error('no speed was tried');
  return propose(command, found.heard, found.baud, terminal);
}

/** "-" for standard input, "host:port", else the path of a port; null where it is none of them. */
export function placeToListen(target: string): WayConfig | null {
  if (target === '-') return { way: 'stdin' };
  const tcp = /^\[?([^/\\]+?)\]?:([0-9]+)$/.exec(target);
  if (!tcp) return target === '' ? null : { way: 'port', path: target, baud: USUAL_BAUDS[0] as number };
  const port = Number(tcp[2]);
  return port >= 1 && port <= 65_535 ? { way: 'tcp', host: tcp[1] as string, port } : null;
}

/** Bytes of one character each, for a screen: the degree sign stays, other bytes beyond ASCII show as blanks. */
const show = (line: string): string => legible(stripVTControlCharacters(line)).replaceAll(/[^ -~°]/g, ' ');

function whyNothing(heard: Heard, where: string, command: ListenCommand, speeds: number): string {
  switch (heard.outcome) {
    case 'silent':
      if (command.where.way === 'stdin')
        return 'Standard input gave nothing. Pipe lines into it, as from a file.';
      return `${where} is open, but nothing came in ${command.seconds} s. Check that the board has power and that its sketch prints by itself; for one that prints seldom, listen longer with --seconds.`;
    case 'noise':
      if (speeds > 1)
        return 'Bytes come, but at none of the usual speeds are they text. Give the number that the sketch has in Serial.begin with --baud; if that is right, look at cable and ground.';
      return `${heard.bytes} bytes came, and they are no text. ${command.baud === null ? 'lowdew reads lines of text only.' : 'Leave --baud out to have the usual speeds tried.'}`;
    case 'endless':
      return `Text comes from ${where}, but no line ends in it. Let the sketch end each reading with a line feed (println).`;
    default:
      return heard.trouble
        ? `${heard.trouble.sentence}`
        : `Only ${heard.bytes} bytes came from ${where}, and no whole line. Listen longer with --seconds.`;
  }
}

async function propose(
  command: ListenCommand,
  heard: Heard,
  baud: number | null,
  terminal: Terminal,
): Promise<ExitCode> {
  const guess = guessHeard(heard.lines, command.columns);
  const heads = `${guess.lines} line${guess.lines === 1 ? '' : 's'}`;
  if (guess.patterns.length + guess.stations.length === 0) {
    terminal.err(`Text comes, but lowdew cannot tell what it means (${heads}). ${refusal(guess)}`);
    for (const doubt of guess.doubts) terminal.err(doubt);
    return EXIT.someRowsBad;
  }
  terminal.err(`These are ${KIND_WORDS[guess.kind]}. ${guess.taken} of ${heads} can be read.`);
  const numbers = guess.patterns.flatMap((pattern) => pattern.columns);
  const most = numbers.at(-1)?.place ?? 0;
  if (command.columns !== null && command.columns.length > most) {
    terminal.err(
      most === 0
        ? 'These lines name their values themselves; leave --columns out.'
        : `--columns names ${command.columns.length} keys, and the lines hold ${most} numbers.`,
    );
    return EXIT.badBenchOrOption;
  }
  for (const { place, key, sample, why } of numbers)
    terminal.err(
      `  ${String(place).padStart(2)}  ${sample.padEnd(9)} ${key === '-' ? 'left out' : `taken for ${key}`}: ${why}`,
    );
  if (guess.refusedExample) terminal.err(refusal(guess));
  if (guess.doubts.length > 0) terminal.err('Not sure:');
  for (const doubt of guess.doubts) terminal.err(`  ${doubt}`);
  if (numbers.length > 0) terminal.err(`${howToCorrect(numbers.map(({ key }) => key))}\n`);

  const text = proposeBench(guess, await sourceTable(command.where, baud), {
    id: command.station,
    role: command.role,
  });
  const reading = readBench(text, null, { materials: MATERIAL_KEYS, things: [] });
  if (!reading.ok) {
    for (const { message } of reading.mistakes) terminal.err(message);
    return EXIT.badBenchOrOption;
  }
  terminal.out(text);
  return EXIT.fine;
}

/** The first line may be the rest of one, or the only one with the columns' names: it counts where it helps. */
function guessHeard(lines: readonly string[], columns: readonly string[] | null): LinesGuess {
  const whole = guessLines(lines, columns);
  const rest = guessLines(lines.slice(1), columns);
  const isHelpful = whole.lines < lines.length || rest.confidence === 'none' || lines.length < 3;
  return isHelpful ? whole : rest;
}

const refusal = ({ refusedExample }: LinesGuess): string =>
  refusedExample ? `Not read: "${show(refusedExample.line).slice(0, 80)}". ${refusedExample.why}` : '';

const howToCorrect = (keys: readonly string[]): string =>
  `If that is wrong, say it in order and listen again: --columns ${keys.join(',')}\n` +
  '(t air °C, rh %RH, m g, ts surface °C, tb bed °C, tm load cell °C, p hPa, x_name another, - left out).';

/** A name of the port that stays is better than one that changes with the socket. */
async function sourceTable(where: WayConfig, baud: number | null): Promise<ProposedSource> {
  switch (where.way) {
    case 'tcp':
      return { id: 'tcp', lines: [`tcp = ${JSON.stringify(`${where.host}:${where.port}`)}`] };
    case 'port': {
      const found = (await listPorts()).ports.find(({ path }) => path === where.path);
      const lasting = found?.byIdPath ?? where.path;
      return { id: 'usb', lines: [`port = ${JSON.stringify(lasting)}`, `baud = ${baud}`] };
    }
    default:
      return { id: 'stdin', lines: ['stdin = true'] };
  }
}
