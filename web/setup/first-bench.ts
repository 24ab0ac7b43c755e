/** The first bench as a person fills it in, and what is still in the way of writing it. Pure. */
import type { Role } from '../../server/api/messages.ts';
import type { FirstBench, SetupState } from '../../server/api/messages-setup.ts';
import { FIRST } from '../words/setup.ts';

/** One sensor that was heard: its port, and the name that its lines give it ('' where they give none). */
export interface HeardStation {
  readonly port: string;
  readonly heardId: string;
  readonly values: Readonly<Record<string, number>>;
}

export interface StationChoice {
  readonly name: string;
  readonly role: Role | '';
  readonly inside: readonly string[];
}

export interface SpoolChoice {
  readonly name: string;
  readonly station: string;
  readonly material: string;
  readonly massText: string;
  readonly reel: 'plastic' | 'cardboard' | 'unknown';
  readonly stored: 'sealed-new' | 'desiccant' | 'room' | 'damp' | 'unknown';
}

export const FIRST_SPOOL: SpoolChoice = {
  name: 'spool',
  station: '',
  material: 'pa6',
  massText: '1000',
  reel: 'unknown',
  stored: 'unknown',
};

export const stationKey = ({ port, heardId }: HeardStation): string => `${port} ${heardId}`;

export const heardStations = (setup: SetupState): readonly HeardStation[] =>
  setup.ports.flatMap(({ path, heard }) =>
    heard?.state === 'heard'
      ? heard.stations.map(({ id, values }) => ({ port: path, heardId: id, values }))
      : [],
  );

/** Names that people give to stations mostly say where they are. */
const ROLE_WORDS: readonly (readonly [role: Role, words: RegExp])[] = [
  ['room', /room|ambient|outside|desk/i],
  ['chamber', /chamber|rig|enclosure|printer/i],
  ['electronics', /elec|bay|cabinet|psu/i],
  ['storage', /stor|shelf|bag|cupboard/i],
];

export function firstChoice(station: HeardStation): StationChoice {
  const name = station.heardId === '' ? 'box' : station.heardId;
  const role = ROLE_WORDS.find(([, words]) => words.test(name))?.[0] ?? 'drybox';
  return { name, role, inside: [] };
}

/** Boxes and chambers, in which a spool can lie. */
export const SPOOL_ROLES: readonly (Role | '')[] = ['drybox', 'storage', 'chamber'];

/** A spool lies in the drying box, if there is one; only then in a storage box or a chamber. */
export const usualHome = <T extends { readonly role: Role | '' }>(places: readonly T[]): T | undefined =>
  SPOOL_ROLES.map((wanted) => places.find(({ role }) => role === wanted)).find(
    (found) => found !== undefined,
  );

const NAME = /^[A-Za-z0-9_-]{1,16}$/;

export type Filled =
  | { readonly ok: true; readonly bench: FirstBench }
  | { readonly ok: false; readonly where: 'stations' | 'name' | 'mass'; readonly sentence: string };

export function fill(
  heard: readonly HeardStation[],
  choices: ReadonlyMap<string, StationChoice>,
  spool: SpoolChoice | null,
): Filled {
  if (heard.length === 0) return { ok: false, where: 'stations', sentence: FIRST.needHeard };
  const used = heard.flatMap((station) => {
    const choice = choices.get(stationKey(station)) ?? firstChoice(station);
    return choice.role === '' ? [] : [{ station, choice, role: choice.role }];
  });
  if (used.length === 0) return { ok: false, where: 'stations', sentence: FIRST.needStation };
  const names = used.map(({ choice }) => choice.name);
  if (new Set(names).size < names.length || names.some((name) => !NAME.test(name)))
    return { ok: false, where: 'name', sentence: FIRST.needName };
  const stations = used.map(({ station, choice, role }) => ({
    port: station.port,
    id: choice.name,
    role,
    ...(choice.inside.length > 0 ? { inside: [...choice.inside] } : {}),
  }));
  const home = used.find(({ role, choice }) => SPOOL_ROLES.includes(role) && choice.name === spool?.station);
  const anyHome = home ?? usualHome(used);
  if (!spool || !anyHome) return { ok: true, bench: { stations, spool: null } };
  const massG = Number(spool.massText.trim().replace(',', '.'));
  if (!(massG >= 1 && massG <= 50_000)) return { ok: false, where: 'mass', sentence: FIRST.needMass };
  if (!NAME.test(spool.name)) return { ok: false, where: 'name', sentence: FIRST.needName };
  const { name, material, reel, stored } = spool;
  return {
    ok: true,
    bench: {
      stations,
      spool: { id: name, station: anyHome.choice.name, material, netMassG: massG, reel, stored },
    },
  };
}
