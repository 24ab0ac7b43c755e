/** The bench file that a first run writes, from what was heard and what a person said of it. Pure. */
import type { FirstBench } from '../api/messages-setup.ts';
import type { LinesGuess, PatternGuess } from '../intake/guess/guess-lines.ts';

export interface HeardSource {
  readonly path: string;
  /** Stays the same over reboots and sockets; null where the system makes none. */
  readonly lastingPath: string | null;
  readonly baud: number;
  readonly guess: LinesGuess;
}

const quoted = (text: string): string => JSON.stringify(text);

export function firstBenchText(said: FirstBench, heard: readonly HeardSource[]): string {
  const used = heard.filter(({ path }) => said.stations.some(({ port }) => port === path));
  const idOf = (path: string): string => {
    const place = used.findIndex((source) => source.path === path);
    return place <= 0 ? 'usb' : `usb${place + 1}`;
  };
  const lines = [
    '# Written by lowdew’s first run; change it as you like, it is never written again.',
    '# A [[spool]] only begins the list: once it is on the bench, change it on the Spools screen.',
  ];
  for (const { path, lastingPath, baud } of used)
    lines.push(
      '',
      '[[source]]',
      `id = ${quoted(idOf(path))}`,
      `port = ${quoted(lastingPath ?? path)}`,
      `baud = ${baud}`,
    );
  for (const { id, role, inside } of said.stations) {
    lines.push('', '[[station]]', `id = ${quoted(id)}`, `role = ${quoted(role)}`);
    if (inside && inside.length > 0) lines.push(`inside = [${inside.map(quoted).join(', ')}]`);
  }
  for (const { path, guess } of used) {
    const station = said.stations.find(({ port }) => port === path);
    for (const pattern of guess.patterns)
      if (station) lines.push(...patternTable(pattern, idOf(path), station.id));
  }
  const { spool } = said;
  if (spool)
    lines.push(
      '',
      '[[spool]]',
      `id = ${quoted(spool.id)}`,
      `station = ${quoted(spool.station)}`,
      `material = ${quoted(spool.material)}`,
      `net_mass_g = ${spool.netMassG}`,
      `reel = ${quoted(spool.reel)}`,
      `stored = ${quoted(spool.stored)}`,
    );
  return `${lines.join('\n')}\n`;
}

function patternTable({ take }: PatternGuess, source: string, station: string): readonly string[] {
  return [
    '',
    '[[pattern]]',
    `source = ${quoted(source)}`,
    `station = ${quoted(station)}`,
    'columns' in take ? `columns = [${take.columns.map(quoted).join(', ')}]` : `regex = '${take.regex}'`,
  ];
}
