/**
 * A scenario: one workshop's story as data. Times are hours of the story (`…H`); the seed fills in all that is not
 * said. Checked when read; a mistake names the place in the file.
 */
import { type Static, Type } from 'typebox';
import { Value } from 'typebox/value';
import { FAULTS } from '../firmware-protocol/line.ts';
import { MATERIALS } from './polymers.ts';

const closed = { additionalProperties: false } as const;
const oneOf = <const T extends string[]>(names: readonly [...T]) => Type.Enum(names);
const Name = Type.String({ pattern: '^[A-Za-z0-9_-]{1,16}$' });
const Hours = Type.Number({ minimum: 0, maximum: 24 * 60 });
const Span = Type.Tuple([Hours, Hours], { description: 'from and to, hours of the story' });

const BoxSchema = Type.Object(
  {
    setTemperatureC: Type.Number({ minimum: 30, maximum: 120 }),
    airVolumeL: Type.Number({ minimum: 2, maximum: 60 }),
    ventLPerMin: Type.Number({ minimum: 0, maximum: 60 }),
    heatAtH: Hours,
    heaterOffH: Type.Array(Span),
    lidsH: Type.Array(Span),
  },
  closed,
);
const ChamberSchema = Type.Object(
  {
    bedTargetC: Type.Number({ minimum: 40, maximum: 140 }),
    bedOnH: Hours,
    bedOffH: Type.Union([Hours, Type.Null()]),
    doorsH: Type.Array(Span),
    insulated: Type.Boolean(),
  },
  closed,
);
const StationSchema = Type.Object(
  {
    id: Name,
    role: oneOf(['drybox', 'chamber', 'room', 'electronics']),
    sensors: Type.Array(oneOf(['t', 'rh', 'm', 'tm', 'ts', 'tb']), { minItems: 1 }),
    box: Type.Optional(BoxSchema),
    chamber: Type.Optional(ChamberSchema),
    /** Keys of this station in a bench file. */
    bench: Type.Optional(
      Type.Record(Type.String(), Type.Union([Type.String(), Type.Number(), Type.Array(Type.String())])),
    ),
  },
  closed,
);
const SpoolSchema = Type.Object(
  {
    id: Type.String({ minLength: 1, maxLength: 24 }),
    station: Name,
    material: oneOf(MATERIALS),
    /** As the user states it; the truth is drawn about it. */
    netMassG: Type.Number({ minimum: 50, maximum: 1100 }),
    reel: oneOf(['plastic', 'cardboard']),
    reelMassG: Type.Number({ minimum: 50, maximum: 400 }),
    stored: oneOf(['sealed-new', 'desiccant', 'room', 'damp', 'unknown']),
    /** True storage humidity at 23 °C. */
    storageRhPercent: Type.Number({ minimum: 1, maximum: 95 }),
    limitWtPercent: Type.Number({ minimum: 0.001, maximum: 2 }),
    innerRatio: Type.Optional(Type.Number({ minimum: 0.5, maximum: 2 })),
    /** How this grade stands to its table; drawn where not said. */
    isothermScale: Type.Optional(Type.Number({ minimum: 0.5, maximum: 2 })),
    diffusivityFactor: Type.Optional(Type.Number({ minimum: 0.2, maximum: 5 })),
    lowSlopeFactor: Type.Optional(Type.Number({ minimum: 0.8, maximum: 1.5 })),
  },
  closed,
);
const BoardSchema = Type.Object(
  {
    board: Name,
    everyMs: Type.Integer({ minimum: 100, maximum: 60_000 }),
    stations: Type.Array(Name, { minItems: 1 }),
    startUptimeMs: Type.Optional(Type.Integer({ minimum: 0, maximum: 4_294_967_295 })),
    resets: Type.Optional(Type.Array(Type.Object({ atH: Hours, cause: Name }, closed))),
    noise: Type.Optional(
      Type.Array(
        Type.Object(
          {
            kind: oneOf(['garbage', 'merged', 'truncated', 'edits', 'mute', 'flood']),
            atH: Span,
            rate: Type.Optional(Type.Number({ minimum: 0, maximum: 1e6 })),
          },
          closed,
        ),
      ),
    ),
  },
  closed,
);
/** What a person does at the bench. A weigh-in's mass is what the simulated scale of the kitchen shows. */
const EventSchema = Type.Union([
  Type.Object(
    { atH: Hours, kind: Type.Literal('weigh-in'), spool: Type.String(), resolutionG: Type.Number() },
    closed,
  ),
  Type.Object({ atH: Hours, kind: Type.Literal('lid'), station: Name }, closed),
]);

export const ScenarioSchema = Type.Object(
  {
    name: Type.String({ pattern: '^[a-z0-9-]{3,40}$' }),
    title: Type.String({ minLength: 5, maxLength: 90 }),
    story: Type.String({ minLength: 40, maxLength: 1200 }),
    /** Local clock time at which the story begins, for whoever wants to date it. */
    startsAt: Type.String({ pattern: '^[0-2][0-9]:[0-5][0-9]$' }),
    hours: Type.Number({ minimum: 1, maximum: 24 * 60 }),
    seed: Type.Integer({ minimum: 0 }),
    room: Type.Object(
      {
        meanTemperatureC: Type.Number({ minimum: 5, maximum: 40 }),
        meanRhPercent: Type.Number({ minimum: 15, maximum: 85 }),
      },
      closed,
    ),
    boards: Type.Array(BoardSchema, { minItems: 1 }),
    stations: Type.Array(StationSchema, { minItems: 1 }),
    spools: Type.Array(SpoolSchema),
    faults: Type.Array(
      Type.Object({ station: Name, key: Type.String(), fault: oneOf(FAULTS), atH: Span }, closed),
    ),
    events: Type.Array(EventSchema),
  },
  closed,
);
export type Scenario = Static<typeof ScenarioSchema>;
export type ScenarioStation = Static<typeof StationSchema>;
export type ScenarioSpool = Static<typeof SpoolSchema>;

export type CheckedScenario =
  | { readonly ok: true; readonly scenario: Scenario }
  | { readonly ok: false; readonly mistakes: readonly string[] };

export function checkScenario(raw: unknown): CheckedScenario {
  const mistakes = Value.Errors(ScenarioSchema, raw).map(
    (error) => `${error.instancePath || 'the file'}: ${error.message}`,
  );
  if (mistakes.length > 0) return { ok: false, mistakes };
  const scenario = raw as Scenario;
  const found = crossCheck(scenario);
  return found.length > 0 ? { ok: false, mistakes: found } : { ok: true, scenario };
}

/** What a shape alone cannot say: names that must meet, one box's truth for one station. */
function crossCheck(scenario: Scenario): string[] {
  const mistakes: string[] = [];
  const ids = scenario.stations.map((station) => station.id);
  if (new Set(ids).size < ids.length) mistakes.push('stations: an id stands twice');
  const carried = scenario.boards.flatMap((board) => board.stations);
  for (const id of ids)
    if (carried.filter((other) => other === id).length !== 1)
      mistakes.push(`station ${id}: must hang on exactly one board`);
  for (const id of carried) if (!ids.includes(id)) mistakes.push(`boards: no station ${id}`);
  for (const station of scenario.stations) {
    if ((station.role === 'drybox') !== (station.box !== undefined))
      mistakes.push(`station ${station.id}: a drybox, and only it, has a box`);
    if ((station.role === 'chamber') !== (station.chamber !== undefined))
      mistakes.push(`station ${station.id}: a chamber, and only it, has a chamber`);
    const spools = scenario.spools.filter((spool) => spool.station === station.id).length;
    if (spools !== (station.role === 'drybox' ? 1 : 0))
      mistakes.push(`station ${station.id}: has ${spools} spools; a drybox holds one, others none`);
  }
  if (scenario.stations.filter((station) => station.role === 'chamber').length > 1)
    mistakes.push('stations: one chamber at most');
  for (const spool of scenario.spools)
    if (!ids.includes(spool.station)) mistakes.push(`spool ${spool.id}: no station ${spool.station}`);
  for (const fault of scenario.faults)
    if (!ids.includes(fault.station)) mistakes.push(`faults: no station ${fault.station}`);
  for (const event of scenario.events) {
    if (event.kind === 'weigh-in' && !scenario.spools.some((spool) => spool.id === event.spool))
      mistakes.push(`events: no spool ${event.spool}`);
    if (event.kind === 'lid' && !ids.includes(event.station))
      mistakes.push(`events: no station ${event.station}`);
  }
  return mistakes;
}
