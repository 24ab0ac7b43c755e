/** Why this number, for a chamber: what was assumed and what the data say, in words for a person. */
import type { Quantiles } from '../drying/quantiles.ts';
import { isThere } from './blocks.ts';
import { CONTRADICTED_AT } from './decision.ts';
import { PRIOR, type SoakSetup, type Unknown } from './priors.ts';
import { ASSUMED_BED_C } from './simulate.ts';
import type { SoakRun } from './state.ts';

export interface SoakPosteriorRow {
  readonly unknown: string;
  readonly label: string;
  readonly unit: string;
  readonly prior: Quantiles;
  readonly now: Quantiles;
}

const Z95 = 1.6448536269514722;

const SHOWN: readonly {
  unknown: Unknown;
  label: string;
  unit: string;
  prior: readonly [number, number];
  scale: number;
}[] = [
  {
    unknown: 'bed',
    label: 'pull of the bed on the air, against the walls',
    unit: '×',
    prior: PRIOR.bed,
    scale: 1,
  },
  { unknown: 'leak', label: 'leak to the room, against the walls', unit: '×', prior: PRIOR.leak, scale: 1 },
  { unknown: 'wall-time', label: 'time of the walls', unit: 'min', prior: PRIOR.wallTimeS, scale: 1 / 60 },
  {
    unknown: 'frame-time',
    label: 'time of the frame',
    unit: 'min',
    prior: PRIOR.frameTimeS,
    scale: 1 / 60,
  },
  {
    unknown: 'floor-time',
    label: 'time of the floor and heavy parts',
    unit: 'min',
    prior: PRIOR.floorTimeS,
    scale: 1 / 60,
  },
];

export function soakPosteriorRows(run: SoakRun): SoakPosteriorRow[] {
  const { posterior } = run;
  if (!posterior) return [];
  return SHOWN.flatMap(({ unknown, label, unit, prior: [median, sdLn], scale }) => {
    const j = posterior.active.indexOf(unknown);
    if (j < 0) return [];
    const of = (z: number): number => scale * median * Math.exp(sdLn * z);
    const centre = posterior.centre[j]!;
    const sd = posterior.sd[j]!;
    return {
      unknown,
      label,
      unit,
      prior: { p05: of(-Z95), p50: of(0), p95: of(Z95) },
      now: { p05: of(centre - Z95 * sd), p50: of(centre), p95: of(centre + Z95 * sd) },
    };
  });
}

export function saySoakAssumptions(setup: SoakSetup, run: SoakRun | null, partSeen: boolean): string[] {
  const said = [
    `Steady: within ${setup.readyBandC} °C of where it ends with 9 in 10, and drifting less than ${setup.readyDriftCPer10Min} °C in 10 min.`,
    'Bed, fan, vent and room are taken to stay as they are now.',
  ];
  if (!run) return said;
  if (!run.blocks.bedC.some(isThere))
    said.push(
      `The bed isn’t measured: it is taken to hold one level (${ASSUMED_BED_C} °C assumed; its pull is learned).`,
    );
  if (!run.blocks.roomC.some(isThere))
    said.push(
      run.warmStart && !isThere(run.assumedRoomC)
        ? 'No room sensor, and the chamber was warm when first seen: the room is taken as 22 °C, give or take 3.'
        : 'No room sensor: the room is taken as the chamber’s own air before the heat came on.',
    );
  if (run.warmStart)
    said.push('The chamber was already warm when first seen: how long it had been warm is unknown.');
  if (run.changes.length > 0)
    said.push(
      `A fan or vent has changed ${run.changes.length === 1 ? 'once' : `${run.changes.length} times`} in this run.`,
    );
  if (run.offBlock !== null && !partSeen)
    said.push(
      'No surface is measured: how slowly the part on the bed cools is a guess, so that the opening is said late rather than early.',
    );
  if (run.posterior && run.posterior.meanSquare > 3)
    said.push(
      run.posterior.meanSquare > CONTRADICTED_AT
        ? 'The readings contradict the model: steady is said only once the air hardly drifts.'
        : 'The readings fit the model badly: they are trusted less and the bands are wider.',
    );
  return said;
}
