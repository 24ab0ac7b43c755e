/** Why this number: what was assumed, what the data say, what would sharpen it, in words for a person. */
import type { DryingSetup } from './priors.ts';
import { boxPrior, diffusivitySd, type Priors, SPREAD } from './priors.ts';
import type { Quantiles } from './quantiles.ts';
import type { DryingState } from './state.ts';
import type { Summary } from './summary.ts';
import type { Unknown } from './unknowns.ts';
import { placeOf } from './unknowns.ts';

/** One unknown before and after the data, in the unit shown: centre and a band of 90 %. */
export interface PosteriorRow {
  readonly unknown: string;
  readonly label: string;
  readonly unit: string;
  readonly prior: Quantiles;
  readonly now: Quantiles;
}

interface Shown {
  readonly unknown: Unknown;
  readonly label: string;
  readonly unit: string;
  /** Value of the unknown for a z of the table's own prior. */
  readonly of: (z: number) => number;
}

const Z95 = 1.6448536269514722;

function shownUnknowns(setup: DryingSetup, supply: Priors['supply']): Shown[] {
  const box = boxPrior({ setup, supply } as Priors);
  const { material } = setup;
  return [
    {
      unknown: 'rh-offset',
      label: 'offset of the box humidity sensor',
      unit: '%RH',
      of: (z) => (setup.rhTolerancePercent / 1.2) * z,
    },
    {
      unknown: 'vent',
      label: 'air exchanged',
      unit: 'L/min',
      of: (z) => box.ventLPerMin * Math.exp(box.ventSd * z),
    },
    {
      unknown: 'volume',
      label: 'air in the box',
      unit: 'L',
      of: (z) => box.volumeL * Math.exp(box.volumeSd * z),
    },
    {
      unknown: 'diffusivity',
      label: 'diffusivity against the table',
      unit: '×',
      of: (z) => Math.exp(diffusivitySd(material) * z),
    },
    {
      unknown: 'isotherm',
      label: 'water held against the table',
      unit: '×',
      of: (z) => Math.exp(material.isothermScaleSigmaLn * z),
    },
    {
      unknown: 'pack',
      label: 'openness of the winding',
      unit: '×',
      of: (z) => Math.exp(SPREAD.pack * z),
    },
    {
      unknown: 'dry-mass',
      label: 'filament on the reel',
      unit: 'g',
      of: (z) => setup.netMassG * Math.exp(SPREAD.dryMass * z),
    },
  ];
}

export function posteriorRows(setup: DryingSetup, state: DryingState): PosteriorRow[] {
  const posterior = state.run?.posterior ?? null;
  if (!posterior) return [];
  return shownUnknowns(setup, state.run!.supply).flatMap(({ unknown, label, unit, of }) => {
    const j = posterior.active.indexOf(unknown);
    if (j < 0) return [];
    const place = placeOf[unknown];
    const mean = state.learnedMean[place]! + state.learnedSd[place]! * posterior.centre[j]!;
    const sd = state.learnedSd[place]! * posterior.sd[j]!;
    return {
      unknown,
      label,
      unit,
      prior: { p05: of(-Z95), p50: of(0), p95: of(Z95) },
      now: { p05: of(mean - Z95 * sd), p50: of(mean), p95: of(mean + Z95 * sd) },
    };
  });
}

const STORED_WORDS = {
  'sealed-new': 'in its sealed bag, 2–50 %RH inside: a new spool is not assumed dry',
  desiccant: 'with desiccant, 5–25 %RH',
  room: 'in the room, 20–65 %RH',
  damp: 'somewhere damp, 50–90 %RH',
  unknown: 'at an unknown humidity, 5–90 %RH',
} as const;

export function sayAssumptions(setup: DryingSetup, state: DryingState): string[] {
  const { material } = setup;
  const said: string[] = [];
  const run = state.run;
  said.push(
    run?.carried
      ? 'The spool begins where its last run or its keeping left it.'
      : setup.storedRhPercent !== null
        ? `It was stored at ${setup.storedRhPercent} ± 9 %RH (23 °C).`
        : `It was stored ${STORED_WORDS[setup.stored]}.`,
  );
  if (run?.warmStart)
    said.push(
      'The box was already warm when first seen: the spool may be anything from just put in to nearly done.',
    );
  said.push(
    `${material.name}: diffusivity known to a factor ${Math.exp(diffusivitySd(material)).toFixed(1)}, water held to ${Math.round(100 * material.isothermScaleSigmaLn)} % (one standard deviation).`,
  );
  said.push(`${Math.round(setup.netMassG)} g of filament, to 3 %.`);
  if (!state.lastRoom)
    said.push('No room sensor: the room is taken as 23 °C and 45 %RH, give or take a third in vapour.');
  if (setup.airSupply === null)
    said.push(
      run?.supply === 'desiccant'
        ? 'The box is surely drier than heated room air: it is taken as fed by a desiccant.'
        : 'The box is taken to breathe room air.',
    );
  else if (setup.airSupply === 'room' && run?.supply === 'desiccant')
    said.push('Stated to breathe room air, but surely drier than that: taken as fed by a desiccant.');
  if (setup.airSupply === 'closed')
    said.push('A closed box has no floor: it must be vented or its air dried.');
  if (setup.reel === 'cardboard')
    said.push('The cardboard reel holds water too: some 7 % of its mass at 50 %RH (from memory).');
  if (setup.reel === 'unknown')
    said.push('The reel may be cardboard and hold water of its own: half a chance.');
  if (setup.companions > 0)
    said.push(
      'Another spool breathes the same air: the humidity is hardly used, for its water can’t be told apart.',
    );
  if (material.key === 'pa_unknown')
    said.push('Which polyamide it is, is unknown: a mixture of PA6, PA66 and PA12.');
  if (run?.posterior && run.posterior.meanSquare > 3)
    said.push('The readings fit the model badly: they are trusted less and the bands are wider.');
  return said;
}

/** Largest gains first. */
export function saySharpening(setup: DryingSetup, state: DryingState, summary: Summary): string[] {
  const said: string[] = [];
  const cells = state.run?.history.cells;
  const hasMass = cells?.massG.some((massG) => massG > -9998) ?? false;
  const water = 0.01 * setup.netMassG * summary.mean.p50;
  if (setup.storedRhPercent === null && !state.run?.carried)
    said.push('Say at what humidity it was stored: within ±5 %RH that halves the early band.');
  if (!hasMass && state.weighIns.length < 2 && water > 3)
    said.push('Weigh it now and again later: the loss of mass tells water directly.');
  if (!state.lastRoom) said.push('Add a sensor for the room’s air: it sets the floor and the vent flow.');
  if (setup.reel === 'unknown') said.push('Say what the reel is made of.');
  if (setup.airSupply === null) said.push('Say where the box’s air comes from: room, desiccant or closed.');
  return said;
}

export function sayNotes(
  setup: DryingSetup,
  name: string,
  readyOuterG: Quantiles,
  summary: Summary,
): string[] {
  const said: string[] = [];
  if (name === 'dry' && readyOuterG.p05 < 0.98 * setup.netMassG)
    said.push('Dry on average; inner turns not yet sure.');
  if (summary.pNever >= 0.8)
    said.push(
      setup.airSupply === 'desiccant'
        ? 'Never in this air: hotter, or a fresh desiccant, would help.'
        : 'Never in this air: a drier room, desiccated air or a hotter box would help.',
    );
  if (name === 'holding')
    said.push('Kept, not dried: outer turns follow the air in days, inner ones in weeks.');
  return said;
}
