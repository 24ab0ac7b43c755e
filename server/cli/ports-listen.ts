/**
 * `lowdew ports --listen`: what arrives on a port, at which speed it reads as text, and the bench file that takes it
 * in. The proposal goes to standard output, so that it can be kept as it is; all else to standard error.
 */
import type { Readable } from 'node:stream';
import { stripVTControlCharacters } from 'node:util';
import type { Clock } from '../clock.ts';
import { readBench } from '../config/read-bench.ts';
import { guessHeard, type LinesGuess } from '../intake/guess/guess-lines.ts';
import { legible } from '../intake/guess/line-shape.ts';
import { MATERIAL_KEYS } from '../physics/materials.ts';
import type { Role } from '../records.ts';
import { listPorts } from '../serial/list-ports.ts';
import { SourceError } from '../serial/trouble.ts';
import { type WayConfig, wayIn } from '../serial/ways.ts';
import { USUAL_BAUDS } from './hear-port.ts';
import { type Heard, listenIn } from './listen-in.ts';
import type { ColumnKey } from './options.ts';
import { type Place, type ProposedSource, proposeBench, roleOf } from './propose-bench.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface ListenCommand {
  readonly where: WayConfig;
  /** Null: the usual ones are tried. */
  readonly baud: number | null;
  readonly seconds: number;
  /** Keys in place of the guessed ones. */
  readonly columns: readonly ColumnKey[] | null;
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
  const places = placesOf(command, heard.lines);
  const { guess } = places[0] as Place;
  const heads = `${guess.lines} line${guess.lines === 1 ? '' : 's'}`;
  const isReady = guess.stations.length > 0;
  const numbers = places.flatMap(({ id, guess: own }) =>
    own.patterns.flatMap(({ columns }) => columns.map((column) => ({ id, ...column }))),
  );
  if (!isReady && numbers.length === 0) {
    terminal.err(`Text comes, but lowdew cannot tell what it means (${heads}). ${refusal(guess)}`);
    for (const doubt of guess.doubts) terminal.err(doubt);
    return EXIT.someRowsBad;
  }
  const mistake = mistakeOf(command.columns, isReady, places);
  if (mistake !== null) {
    terminal.err(mistake);
    return EXIT.badBenchOrOption;
  }
  terminal.err(`These are ${KIND_WORDS[guess.kind]}. ${guess.taken} of ${heads} can be read.`);
  for (const { id, place, key, sample, why } of numbers)
    if (key !== '-' || places.length === 1)
      terminal.err(
        `  ${String(place).padStart(2)}  ${sample.padEnd(9)} ${key === '-' ? 'left out' : `taken for ${key}${places.length > 1 ? ` of ${id}` : ''}`}: ${why}`,
      );
  if (guess.refusedExample) terminal.err(refusal(guess));
  const doubts = [...new Set(places.flatMap(({ guess: own }) => own.doubts))];
  if (doubts.length > 0) terminal.err('Not sure:');
  for (const doubt of doubts) terminal.err(`  ${doubt}`);
  if (numbers.length > 0 && command.columns === null)
    terminal.err(`${howToCorrect(numbers.map(({ key }) => key))}\n`);

  const text = proposeBench(places, await sourceTable(command.where, baud));
  const reading = readBench(text, null, { materials: MATERIAL_KEYS, things: [] });
  if (!reading.ok) {
    for (const { message } of reading.mistakes) terminal.err(message);
    return EXIT.badBenchOrOption;
  }
  terminal.out(text);
  return EXIT.fine;
}

/** A station for each that the columns name; all of them take from the same lines. */
function placesOf(command: ListenCommand, lines: readonly string[]): readonly Place[] {
  const { columns } = command;
  const main = { id: command.station, role: command.role };
  if (columns === null) return [{ ...main, guess: guessHeard(lines) }];
  const ids = [...new Set(columns.map(({ station }) => station ?? command.station))];
  return ids.map((id) => ({
    id,
    role: id === command.station ? command.role : roleOf(id),
    guess: guessHeard(
      lines,
      columns.map(({ station, key }) => ((station ?? command.station) === id ? key : '-')),
    ),
  }));
}

function mistakeOf(
  columns: readonly ColumnKey[] | null,
  isReady: boolean,
  places: readonly Place[],
): string | null {
  if (columns === null) return null;
  if (isReady) return 'These lines name their values themselves; leave --columns out.';
  const patterns = places.flatMap(({ guess }) => guess.patterns);
  const most = Math.max(0, ...patterns.flatMap((pattern) => pattern.columns.map(({ place }) => place)));
  if (columns.length > most)
    return `--columns names ${columns.length} keys, and the lines hold ${most} numbers.`;
  for (const pattern of patterns) {
    const keys = pattern.columns.map(({ key }) => key).filter((key) => key !== '-');
    const twice = keys.find((key, i) => keys.indexOf(key) !== i);
    if (twice !== undefined)
      return `--columns gives ${twice} to two numbers of one line; give one of them to another station, as room:${twice}, or leave it out with "-".`;
  }
  return null;
}

const refusal = ({ refusedExample }: LinesGuess): string =>
  refusedExample ? `Not read: "${show(refusedExample.line).slice(0, 80)}". ${refusedExample.why}` : '';

const howToCorrect = (keys: readonly string[]): string =>
  `If that is wrong, say it in order and listen again: --columns ${keys.join(',')}\n` +
  '(t air °C, rh %RH, m g, ts surface °C, tb bed °C, tm load cell °C, p hPa, x_name another, - left out; room:t and the like\nfor the sensor of another station in the same line).';

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
