/** What the terminal says once the page is served. */
import type { Snapshot } from '../api/messages.ts';
import type { Terminal } from './terminal.ts';

/** What of the command bears on it. */
interface Announced {
  readonly scenario: { readonly title: string } | null;
  readonly bench: { readonly sources: readonly unknown[] } | null;
}

export function announce(
  terminal: Terminal,
  url: string,
  command: Announced,
  snapshot: Snapshot,
  token: { token: string; isNew: boolean } | null,
  folder: string,
): void {
  if (command.scenario) {
    terminal.out('');
    terminal.out(`  SIMULATED: invented readings, ${snapshot.speed} times speed. ${command.scenario.title}.`);
    terminal.out('  Nothing of it is kept, nothing that is entered either.');
    terminal.out(
      '  For your own bench: open Setup on the page, or lowdew run --bench FILE (see the README).',
    );
  } else if (command.bench?.sources.length === 0)
    terminal.err(
      'The bench file has no [[source]]: nothing will be read. `lowdew ports` lists what is there.',
    );
  terminal.out('');
  terminal.out(`  The page: ${url}`);
  if (token?.isNew) {
    terminal.out(`  Its token, shown this once: ${token.token}`);
    if (url.startsWith('http:')) terminal.out('  On plain HTTP the token crosses the network readable.');
  }
  if (!command.scenario) terminal.out(`  Data: ${folder}`);
  terminal.out('  Monitoring only: lowdew is not a safety device. Stop with Ctrl-C.');
  terminal.out('');
}
