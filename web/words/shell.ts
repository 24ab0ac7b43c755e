export const SIMULATED = {
  word: 'SIMULATED',
  label: 'Simulated bench',
  tell: (scenario: string, speed: string) =>
    `Invented readings, ${speed} × speed${scenario === '' ? '' : `: ${scenario}`}.`,
} as const;

export const PAGE = {
  name: 'lowdew',
  bench: 'Bench',
  title: (parts: readonly string[]) => parts.join(' · '),
  screens: 'Screens',
  foot: 'Ranges of air are what the sensors’ tolerances allow. Dew points are over liquid water. Faults are counted from midnight UTC.',
  footSpool:
    'Moisture is wt % of dry polymer; ranges in brackets: nine in ten. Times assume that heater, room and lid stay as they are.',
  safety: 'Monitoring only: lowdew is not a safety device.',
  version: (version: string) => `lowdew ${version}`,
} as const;
