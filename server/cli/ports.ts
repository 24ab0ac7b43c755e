/** `lowdew ports`: the serial ports that are there, and the names that stay. */
import { listPorts } from '../serial/list-ports.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export async function portsCommand(format: 'text' | 'json', terminal: Terminal): Promise<ExitCode> {
  const { ports, note } = await listPorts();
  if (format === 'json') {
    terminal.out(JSON.stringify({ ports, note }));
    return EXIT.fine;
  }
  if (note !== null) terminal.err(note);
  if (ports.length === 0) {
    terminal.out('No serial port was found. Plug the board in, and check that its cable carries data.');
    return EXIT.fine;
  }
  for (const port of ports) {
    const what = [port.manufacturer, port.serialNumber && `serial number ${port.serialNumber}`]
      .filter(Boolean)
      .join(', ');
    terminal.out(what ? `${port.path}  ${what}` : port.path);
    if (port.byIdPath !== null)
      terminal.out(`    stays the same when plugged in elsewhere: ${port.byIdPath}`);
  }
  terminal.out('In the bench file: [[source]] with port = "…", or serial_number = "…".');
  return EXIT.fine;
}
