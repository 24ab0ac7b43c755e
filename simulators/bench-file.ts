/** The bench file with which a person could read a scenario's boards, or replay its capture. */
import type { Scenario } from './scenario.ts';

/** Values are numbers, names and lists of names: JSON writes them as TOML wants them. */
const line = (key: string, value: unknown): string => `${key} = ${JSON.stringify(value)}`;

/** `portOf`: where the board of a source is to be found. Source ids are the boards' names. */
export function benchFileText(scenario: Scenario, portOf: (board: string) => string): string {
  const blocks: string[][] = [[`# ${scenario.title}`, '# Simulated: no hardware stands behind this bench.']];
  for (const board of scenario.boards) {
    const port = portOf(board.board);
    const way = /^[^/\\]+:[0-9]+$/.test(port) ? 'tcp' : 'port';
    blocks.push(['[[source]]', line('id', board.board), line(way, port)]);
  }
  for (const station of scenario.stations) {
    const block = ['[[station]]', line('id', station.id), line('role', station.role)];
    for (const [key, value] of Object.entries(station.bench ?? {})) block.push(line(key, value));
    blocks.push(block);
  }
  for (const spool of scenario.spools)
    blocks.push([
      '[[spool]]',
      line('id', spool.id),
      line('station', spool.station),
      line('material', spool.material),
      line('net_mass_g', spool.netMassG),
      line('reel', spool.reel),
      line('reel_mass_g', spool.reelMassG),
      line('stored', spool.stored),
      line('limit_wt_percent', spool.limitWtPercent),
    ]);
  return `${blocks.map((block) => block.join('\n')).join('\n\n')}\n`;
}
