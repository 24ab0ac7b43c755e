/** What stands on every screen. */

export const SIMULATED = {
  word: 'SIMULATED',
  label: 'Simulated bench',
  own: 'Set up your own bench',
  tell: (scenario: string, speed: string) =>
    `Invented readings, ${speed} × speed${scenario === '' ? '' : `: ${scenario}`}.`,
} as const;

export const SCREEN_NAMES = {
  bench: 'Bench',
  spools: 'Spools',
  jobs: 'Jobs',
  planner: 'Planner',
  setup: 'Setup',
  report: 'Report',
} as const;
export type ScreenName = keyof typeof SCREEN_NAMES;

export const SHELL = {
  screens: 'Screens',
  nowhere: 'No screen',
  nothingHere: {
    head: 'There is no screen at this address.',
    tell: 'Follow one of the links above.',
  },
  notArrived: {
    head: 'This screen has not arrived.',
    tell: 'lowdew did not answer when the page asked for it.',
  },
  again: 'Load the page again',
} as const;

export const PAGE = {
  name: 'lowdew',
  title: (parts: readonly string[]) => parts.join(' · '),
  foot: 'Ranges of air are what the sensors’ tolerances allow. Dew points are over liquid water. Faults are counted from midnight UTC.',
  footSpool:
    'Moisture is wt % of dry polymer; ranges in brackets: nine in ten. Times assume that heater, room and lid stay as they are.',
  footPlanner:
    'Moisture is wt % of dry polymer; ranges in brackets, and the paler tint: nine in ten, from the spread that the table gives its constants. Nothing here is measured.',
  safety: 'Monitoring only: lowdew is not a safety device.',
  version: (version: string) => `lowdew ${version}`,
} as const;
