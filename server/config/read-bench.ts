/**
 * From the text of a bench file to a checked bench, or to every mistake in it at once.
 * What is silent gets its default here and nowhere else.
 */
import { parse, TomlError } from 'smol-toml';
import { NAME_PATTERN } from '../../firmware-protocol/line.ts';
import { ROLES } from '../records.ts';
import { STANDARD_PRESSURE_PA } from '../units.ts';
import {
  type BenchConfig,
  type PatternConfig,
  type SourceConfig,
  SPOOL_ROLES,
  type SpoolConfig,
  type StationConfig,
} from './bench.ts';
import { CALIBRATION_KEYS, readCorrection } from './calibration-keys.ts';
import {
  listOf,
  type Mistake,
  noteUnknownKeys,
  number,
  oneOf,
  openTable,
  type Table,
  text,
} from './fields.ts';
import { readListen } from './listen.ts';
import { locate } from './locate.ts';
import { readPattern } from './pattern-table.ts';
import { RECEIVER_KEYS, readReceiver } from './receiver-table.ts';
import type { ReceiverConfig } from './receivers.ts';
import { readSource, SOURCE_KEYS } from './source-table.ts';

/** What a bench may name beyond itself; given by the physics tables. */
export interface Vocabulary {
  readonly materials: readonly string[];
  readonly things: readonly string[];
}

export type BenchReading =
  | { readonly ok: true; readonly bench: BenchConfig }
  | { readonly ok: false; readonly mistakes: readonly Mistake[] };

const STATION_KEYS = [
  'id',
  'role',
  'air_volume_l',
  'air_supply',
  'rh_tolerance_percent',
  'temperature_tolerance_c',
  'ready_band_c',
  'ready_drift_c_per_10min',
  'inside',
  'ceiling_c',
  'open_below_c',
  ...CALIBRATION_KEYS,
];
const SPOOL_KEYS = [
  'id',
  'station',
  'material',
  'net_mass_g',
  'fibre_wt_percent',
  'diameter_mm',
  'reel',
  'reel_mass_g',
  'stored',
  'stored_rh_percent',
  'limit_wt_percent',
];
const PATTERN_KEYS = ['source', 'station', 'columns', 'regex'];
const SERVER_KEYS = ['listen', 'data_dir', 'tls_cert', 'tls_key'];
const SITE_KEYS = ['pressure_hpa'];
const LISTS = {
  source: SOURCE_KEYS,
  station: STATION_KEYS,
  spool: SPOOL_KEYS,
  pattern: PATTERN_KEYS,
  receiver: RECEIVER_KEYS,
};
const TABLES = { server: SERVER_KEYS, site: SITE_KEYS };

/** Caps of a bench: far above any bench, far below what would trouble the program. */
const MOST_OF_A_KIND = 256;
const name = text('a name of 1–16 letters, digits, _ or -', NAME_PATTERN);

const readStation = (table: Table, vocabulary: Vocabulary): StationConfig | undefined => {
  const id = table.need('id', name);
  const role = table.need('role', oneOf('a role', ROLES));
  const rest = {
    airVolumeL: table.may('air_volume_l', number(0.1, 10_000, 'L'), null),
    airSupply: table.may('air_supply', oneOf('an air supply', ['room', 'desiccant', 'closed']), null),
    rhTolerancePercent: table.may('rh_tolerance_percent', number(0.1, 20, '%RH'), 1.8),
    temperatureToleranceC: table.may('temperature_tolerance_c', number(0, 10, '°C'), 0.2),
    readyBandC: table.may('ready_band_c', number(0.1, 20, '°C'), 1),
    readyDriftCPer10Min: table.may('ready_drift_c_per_10min', number(0.01, 20, '°C per 10 min'), 0.5),
    inside: table.may('inside', listOf(oneOf('a thing with a known ceiling', vocabulary.things)), []),
    ceilingC: table.may('ceiling_c', number(20, 300, '°C'), null),
    correction: readCorrection(table),
    openBelowC: table.may('open_below_c', number(20, 120, '°C'), null),
  };
  return id === undefined || role === undefined ? undefined : { id, role, ...rest };
};

const readSpool = (table: Table, vocabulary: Vocabulary): SpoolConfig | undefined => {
  const id = table.need('id', name);
  const station = table.need('station', name);
  const material = table.need('material', oneOf('a known material', vocabulary.materials));
  const netMassG = table.need('net_mass_g', number(1, 20_000, 'g of filament, without the reel'));
  const rest = {
    fibreWtPercent: table.may('fibre_wt_percent', number(0, 70, 'wt %'), 0),
    diameterMm: table.may('diameter_mm', number(0.5, 5, 'mm'), 1.75),
    reel: table.may('reel', oneOf('a reel', ['plastic', 'cardboard', 'unknown']), 'unknown' as const),
    reelMassG: table.may('reel_mass_g', number(0, 5000, 'g'), null),
    stored: table.may(
      'stored',
      oneOf('a way of storing', ['sealed-new', 'desiccant', 'room', 'damp', 'unknown']),
      'unknown' as const,
    ),
    storedRhPercent: table.may('stored_rh_percent', number(0, 100, '%RH'), null),
    limitWtPercent: table.may('limit_wt_percent', number(0.001, 20, 'wt %'), null),
  };
  if (id === undefined || station === undefined || material === undefined || netMassG === undefined)
    return undefined;
  return { id, station, material, netMassG, ...rest };
};

export function readBench(file: string, path: string | null, vocabulary: Vocabulary): BenchReading {
  let raw: Record<string, unknown>;
  try {
    raw = parse(file);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const message = `is not TOML: ${error.message.split('\n')[0]?.replace(/^Invalid TOML document: /, '')}.`;
    return { ok: false, mistakes: [{ place: 'the file', key: null, message, line: error.line }] };
  }
  const mistakes: Mistake[] = [];
  const noteFor = (table: string, index: number, place: string) => (key: string | null, message: string) =>
    mistakes.push({ place, key, message, line: locate(file, { table, index, key }) });

  noteUnknownKeys(raw, [...Object.keys(LISTS), ...Object.keys(TABLES)], (key, message) => {
    const line =
      key === null ? null : (locate(file, { table: key, index: 0, key: null }) ?? lineOfRootKey(file, key));
    mistakes.push({
      place: 'the file',
      key,
      message: message.replace('unknown key', 'unknown table or key'),
      line,
    });
  });

  const readList = <T>(table: keyof typeof LISTS, read: (view: Table) => T | undefined): T[] => {
    const list = raw[table] ?? [];
    if (!Array.isArray(list)) {
      noteFor(table, 0, 'the file')(null, `write [[${table}]] with two brackets: there may be several.`);
      return [];
    }
    if (list.length > MOST_OF_A_KIND)
      noteFor(table, MOST_OF_A_KIND, 'the file')(null, `more than ${MOST_OF_A_KIND} [[${table}]].`);
    const seen = new Map<string, number>();
    return list.slice(0, MOST_OF_A_KIND).flatMap((entry: Record<string, unknown>, index: number) => {
      const id = entry['id'];
      const place = typeof id === 'string' ? `${table} "${id}"` : `${table} ${index + 1}`;
      const note = noteFor(table, index, place);
      noteUnknownKeys(entry, LISTS[table], note);
      if (typeof id === 'string') {
        const first = seen.get(id);
        if (first !== undefined) {
          const line = locate(file, { table, index: first, key: 'id' });
          note(
            'id',
            `the id stands twice${line === null ? '' : ` (first on line ${line})`}; give each its own.`,
          );
        } else seen.set(id, index);
      }
      const result = read(openTable(entry, note));
      return result === undefined ? [] : [result];
    });
  };
  const readTable = (table: keyof typeof TABLES): Table => {
    const value = raw[table] ?? {};
    const note = noteFor(table, 0, `[${table}]`);
    const single = !Array.isArray(value) && typeof value === 'object' && value !== null;
    if (!single) note(null, `write [${table}] with one bracket, once.`);
    else noteUnknownKeys(value as Record<string, unknown>, TABLES[table], note);
    return openTable(single ? (value as Record<string, unknown>) : {}, note);
  };

  const sources: SourceConfig[] = readList('source', readSource);
  const stations: StationConfig[] = readList('station', (table) => readStation(table, vocabulary));
  const declared = (list: unknown): string[] =>
    Array.isArray(list) ? list.flatMap((entry) => (typeof entry?.id === 'string' ? [entry.id] : [])) : [];
  const stationIds = [...new Set(declared(raw['station']))];
  const sourceIds = [...new Set(declared(raw['source']))];
  const among = (what: string, ids: readonly string[]) => oneOf(`the id of a [[${what}]] in this file`, ids);
  const spools: SpoolConfig[] = readList('spool', (table) => {
    const station = table.may('station', among('station', stationIds), null);
    const role = stations.find(({ id }) => id === station)?.role;
    if (role !== undefined && !SPOOL_ROLES.includes(role))
      table.note(
        'station',
        `station "${station}" is a ${role}; a spool lies in one of ${SPOOL_ROLES.join(', ')}.`,
      );
    return readSpool(table, vocabulary);
  });
  const patterns: PatternConfig[] = readList('pattern', (table) =>
    readPattern(table, among('source', sourceIds), among('station', stationIds)),
  );
  const receivers: ReceiverConfig[] = readList('receiver', (table) => readReceiver(table, path));
  if (sources.filter((source) => source.way === 'stdin').length > 1)
    noteFor('source', 0, 'the file')(null, 'two sources read standard input; there is only one.');
  if (stationIds.length === 0 && raw['station'] === undefined)
    mistakes.push({
      place: 'the file',
      key: null,
      message: 'has no [[station]]; describe at least one.',
      line: null,
    });

  const server = readTable('server');
  const listen = readListen(server);
  const bench: BenchConfig = {
    file: path,
    sources,
    stations,
    spools,
    patterns,
    receivers,
    ...listen,
    dataDir: server.may('data_dir', text('a folder'), null),
    tls: readTls(server),
    pressurePa:
      readTable('site').may('pressure_hpa', number(300, 1100, 'hPa'), STANDARD_PRESSURE_PA / 100) * 100,
  };
  if (mistakes.length === 0) return { ok: true, bench };
  return { ok: false, mistakes: [...mistakes].sort((a, b) => (a.line ?? 0) - (b.line ?? 0)) };
}

function readTls(server: Table): BenchConfig['tls'] {
  const certPath = server.may('tls_cert', text('a path'), null);
  const keyPath = server.may('tls_key', text('a path'), null);
  if ((certPath === null) !== (keyPath === null))
    server.note(
      certPath === null ? 'tls_key' : 'tls_cert',
      'tls_cert and tls_key go together; give both or neither.',
    );
  return certPath !== null && keyPath !== null ? { certPath, keyPath } : null;
}

function lineOfRootKey(file: string, key: string): number | null {
  const index = file
    .split(/\r?\n/)
    .findIndex((line) => new RegExp(`^\\s*"?${key.replace(/\W/g, '.')}"?\\s*=`).test(line));
  return index < 0 ? null : index + 1;
}

/** One line a mistake, as a terminal shows it: file, line, place, message. */
export function describeMistake(path: string, mistake: Mistake): string {
  return `${path}${mistake.line === null ? '' : `:${mistake.line}`}: ${mistake.place}: ${mistake.message}`;
}
