/** `[[source]]`: where lines come from; exactly one way in. */
import { NAME_PATTERN } from '../../firmware-protocol/line.ts';
import type { SourceConfig } from './bench.ts';
import { number, type Table, text, truth } from './fields.ts';

export const SOURCE_KEYS = ['id', 'port', 'serial_number', 'tcp', 'stdin', 'baud'];
const WAYS = ['port', 'serial_number', 'tcp', 'stdin'];

export function readSource(table: Table): SourceConfig | undefined {
  const id = table.need('id', text('a name of 1–16 letters, digits, _ or -', NAME_PATTERN));
  const baud = table.may('baud', number(300, 4_000_000, 'baud', true), 115_200);
  const given = WAYS.filter((way) => table.has(way));
  if (given.length !== 1) {
    table.note(
      given[1] ?? null,
      given.length === 0
        ? 'says no way in; give one of port, serial_number, tcp = "host:port", stdin = true.'
        : `says ${given.join(' and ')}; give one way in.`,
    );
    return undefined;
  }
  const path = table.may('port', text('the path of a port, like "/dev/ttyUSB0" or "COM3"'), null);
  const serialNumber = table.may('serial_number', text('a serial number'), null);
  const tcp = table.may('tcp', text('"host:port"', /^.+:[0-9]{1,5}$/), null);
  const stdin = table.may('stdin', truth, null);
  if (id === undefined) return undefined;
  if (path !== null) return { id, way: 'port', path, baud };
  if (serialNumber !== null) return { id, way: 'serial-number', serialNumber, baud };
  if (tcp !== null) {
    const colon = tcp.lastIndexOf(':');
    const port = Number(tcp.slice(colon + 1));
    if (port < 1 || port > 65_535) {
      table.note('tcp', `tcp = "${tcp}": a port is a number from 1 to 65535.`);
      return undefined;
    }
    return { id, way: 'tcp', host: tcp.slice(0, colon).replace(/^\[(.*)\]$/, '$1'), port };
  }
  if (stdin === true) return { id, way: 'stdin' };
  if (stdin === false) table.note('stdin', 'stdin = false says no way in; leave it out and give another.');
  return undefined;
}
