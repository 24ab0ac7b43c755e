/** Words of Setup. */
import type { Role } from '../../server/api/messages.ts';

export const SETUP = {
  title: 'Setup',
  firstHead: 'Tell lowdew what stands on your bench.',
  firstTell:
    'Plug the board in, listen to its port, say where each sensor is, and what lies in the box. The bench file is written once, and never again; spools are changed on the Spools screen.',
  head: 'How this bench is set up.',
  tell: (file: string) =>
    `It is described in ${file}: change it with a text editor, then restart lowdew. Its [[spool]]s only begin the list: a spool is changed by taking it off and putting it on again on the Spools screen.`,
  tellSimulated: 'What you see on the other screens is invented, until a bench of your own is set up.',
  safetyHead: 'Before anything else',
  safety: [
    'lowdew monitors and advises. It switches nothing and is not a safety device: do not rely on it to prevent overheating or fire.',
    'Makers’ instructions for printer, dryer, filament and sensors come first, then local codes; work on mains wiring is for licensed people.',
    'Heated plastic gives off fumes: ventilate. Do not leave heat unattended on the word of a program.',
  ],
} as const;

export const PORTS = {
  head: 'Ports',
  none: 'No serial port was found. Plug the board in; its cable must carry data.',
  caution:
    'Listening sends nothing, but opening a port restarts many boards: not while a printer prints on it.',
  look: 'Look again',
  listen: 'Listen',
  listenTo: (path: string) => `Listen to ${path}`,
  forget: 'Forget',
  forgetOf: (path: string) => `Forget ${path}`,
  listening: (baud: number | null) => (baud === null ? 'Listening …' : `Listening at ${baud} baud …`),
  heard: (baud: number | null) => (baud === null ? 'Heard' : `Heard at ${baud} baud`),
  other: 'A port that is not listed',
  otherHint: '/dev/ttyUSB0, COM3, …',
  taken: (key: string, sample: string, why: string) =>
    key === '-' ? `${sample} is left out: ${why}` : `${sample} is taken for ${KEY_WORDS[key] ?? key}: ${why}`,
  correct: 'What the numbers are, in order',
  correctHint: 't,rh,- … (- leaves one out)',
  apply: 'Read it so',
  spoken: 'Its newest lines',
} as const;

const KEY_WORDS: Readonly<Record<string, string>> = {
  t: 'air temperature, °C',
  rh: 'relative humidity, %RH',
  m: 'mass, g',
  tm: 'load-cell temperature, °C',
  ts: 'surface temperature, °C',
  tb: 'bed temperature, °C',
  p: 'air pressure, hPa',
};

export const ROLE_CHOICES: readonly (readonly [role: Role | '', words: string])[] = [
  ['', 'not used'],
  ['drybox', 'drying box, heated'],
  ['storage', 'storage box, no heat'],
  ['chamber', 'printer chamber'],
  ['room', 'room air'],
  ['electronics', 'electronics'],
];

export const FIRST = {
  stationsHead: 'Where the sensors are',
  station: (id: string) => (id === '' ? 'This port' : `Station ${id}`),
  stationName: 'Its name',
  where: 'Where is it?',
  inside: 'What must not get too hot in there?',
  spoolHead: 'The spool in the box',
  noSpool: 'No spool yet',
  hasSpool: 'A spool lies in it',
  spoolName: 'Its name',
  inStation: 'It lies in',
  material: 'Material',
  mass: 'Filament on it, g',
  massHint: 'without the reel, as last weighed or stated',
  reel: 'Reel',
  stored: 'Where it was stored',
  write: 'Write the bench file and begin',
  writesTo: (path: string) => `It is written to ${path}.`,
  written: (path: string) => `Written to ${path}. The bench begins anew …`,
  needStation: 'Say of at least one sensor where it is.',
  needMass: 'Give the filament’s mass in grams, 1 to 50000.',
  needName: 'Names are 1 to 16 letters, digits, _ or -, and no two are the same.',
  needHeard: 'Listen to a port first: nothing that lowdew can read was heard yet.',
  reels: [
    ['unknown', 'not known: 60 °C at most'],
    ['plastic', 'plastic'],
    ['cardboard', 'cardboard'],
  ],
  stores: [
    ['unknown', 'not known'],
    ['sealed-new', 'new, in its sealed bag'],
    ['desiccant', 'with desiccant'],
    ['room', 'in the room'],
    ['damp', 'somewhere damp'],
  ],
} as const;

export const STATIONS_KNOWN = {
  head: 'Stations',
  table: 'Table of stations',
  station: 'Station',
  role: 'Where',
  lines: 'Lines',
  checked: 'with checksum',
  unchecked: 'unchecked: its lines carry no checksum',
  ceiling: 'Ceiling',
  noCeiling: 'nothing listed inside',
  oldCalibration: (id: string, on: string) =>
    `▲ The calibration of ${id} is of ${on}, more than a year ago, and sensors drift: calibrate it again.`,
} as const;

export const MATERIALS = {
  head: 'What lowdew reckons with',
  table: 'Constants of the material',
  thingsTable: 'Ceilings of things',
  choose: 'Material',
  limits: (printing: string, guide: string) =>
    `Under ${printing} prints well (common practice, no source); the resin makers’ guides say ${guide} for moulding.`,
  drying: (usual: string, highest: string) => `Usually dried at ${usual}, at most at ${highest}.`,
  quantity: 'Quantity',
  value: 'Value',
  source: 'Source',
  grade: 'Confidence',
  thingsHead: 'What must not get too hot',
  thingsTell: 'Ceilings by judgement; ceiling_c in the bench file puts your own in their place.',
} as const;

export const SHOWN = {
  head: 'How it is shown here',
  tell: 'Kept in this browser alone.',
  clock: 'Clock',
  clocks: [
    ['24h', '24 hours'],
    ['12h', '12 hours, am and pm'],
  ],
  temperature: 'Temperatures in',
  temperatures: [
    ['C', '°C'],
    ['F', '°F'],
  ],
} as const;

const KINDS = { webhook: 'webhook', email: 'e-mail', mqtt: 'MQTT' } as const;

export const RECEIVERS = {
  head: 'Who is told',
  tell: 'Receivers stand in the bench file. Messages may not arrive: rely on none of them where something could be damaged.',
  none: 'No receiver is named: what lowdew has to say stands on this page alone. [[receiver]] in the bench file names one.',
  what: (kind: keyof typeof KINDS, where: string, least: string, kinds: readonly string[]) =>
    `${KINDS[kind]} to ${where}: ${kinds.join(' and ')}, priority ${least}${least === 'high' ? '' : ' and above'}`,
  test: 'Send a test',
  testing: 'Sending …',
  waiting: (amount: number) => `${amount} on the way.`,
  lastSent: (when: string) => `Last sent ${when}.`,
} as const;
