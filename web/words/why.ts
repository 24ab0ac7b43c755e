/** Why a number is what it is: of a spool, and of a chamber. */
import { inWords, spoolName } from './ground.ts';

export const WHY = {
  head: 'Why this number',
  headOf: (name: string) => `Why this number, of ${spoolName(name)}`,
  asOf: (clock: string) => `As it was known at ${clock}, when last heard.`,
  silent: (labels: readonly string[]) => `The readings say nothing yet of: ${labels.join(', ')}.`,
  assumed: 'What was assumed',
  data: 'What the data say',
  sharpen: 'What would sharpen it',
  now: (value: string, band: string, unit: string) => `${value}${unit} (${band})`,
  was: (value: string, band: string) => `was ${value} (${band})`,
  unchanged: 'unchanged: the data are silent',
  key: (since: string) => `Dashed: assumed before. Solid: after ${since} of readings. Nine in ten.`,
  noData: 'Nothing yet: the first fit of a run comes after ten minutes.',
  nothing: 'Nothing more: what would help most is known.',
} as const;

export const CHAMBER_WHY = {
  headOf: (where: string) => `Why this number, of ${where}`,
  near: 'How near it is',
  ends: (value: string, band: string) => `It ends at ${value} (${band}) if all stays as it is.`,
  chance: (tenths: number, band: string) =>
    tenths === 0
      ? `In hardly any likely case it is within ${band} of where it ends.`
      : tenths === 10
        ? `In nearly all likely cases it is within ${band} of where it ends.`
        : `In ${inWords(tenths)} of ten likely cases it is within ${band} of where it ends.`,
  drift: (value: string, most: string | null) =>
    most === null
      ? `In the last 20 min it moved by ${value} per 10 min.`
      : `In the last 20 min it moved by ${value} per 10 min; less than ${most} counts as steady.`,
  frame: (value: string, low: string, high: string) =>
    `The frame is ${value} (${low} to ${high}) from where it ends.`,
  noData: 'Nothing yet: the first fit of a heat-up comes after twelve minutes.',
  notHeated: 'No heat-up goes on.',
} as const;
