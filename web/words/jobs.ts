/** Of the Jobs screen: the start check, what runs, and attempts side by side. */
import type { Piece } from '../pieces.ts';
import { capital, duration, type Spoken, spoolName } from './ground.ts';

const flag = (text: string): Piece => ({ key: text, mark: 'flag', tone: 'ink' });
const soft = (text: string): Piece => ({ soft: `(${text})` });

/** "the job", or its name where it has one. */
const called = (name: string): string => (name === '' ? 'the job' : name);
const TENTHS = [
  'hardly any chance',
  ...Array.from({ length: 9 }, (_, i) => `${i + 1} in 10`),
  'all but sure',
];
/** A chance in whole tenths; below a twentieth and above its like, in words. */
export const inTen = (p: number): string =>
  TENTHS[p < 0.05 ? 0 : p > 0.95 ? 10 : Math.min(9, Math.max(1, Math.round(10 * p)))] ?? '';
/** A chance that falls short of one wished for is not rounded up to it. */
export const shortOf = (p: number, wished: number): string =>
  inTen(p) === sureOf(wished) || p > 0.95 ? `${Math.floor(100 * p + 1e-9)} in 100` : inTen(p);
/** The same of one that may fall short of it. */
export const chanceText = (p: number, wished: number): string => (p < wished ? shortOf(p, wished) : inTen(p));
/** The same where it was wished for: "9 in 10", "95 in 100". */
export const sureOf = (p: number): string =>
  Math.abs(10 * p - Math.round(10 * p)) < 0.01 ? inTen(p) : `${Math.round(100 * p)} in 100`;

export const START = {
  head: 'Start check',
  next: 'The next job',
  ask: 'Say what the job takes.',
  askTell:
    'Grams and hours are enough: when it may start then stands here, and follows as you type. The Bench speaks of the spool’s average; a job asks for every turn that it feeds.',
  noSpool: 'No spool is described yet.',
  noSpoolTell: 'The check needs one: put it on the bench on the Spools screen.',
  asking: 'Looking ahead.',
  now: (name: string) => `Start ${called(name)} now.`,
  later: (name: string, clock: string): Piece[] => [
    `Not yet. Start ${called(name)} at about `,
    flag(clock),
    '.',
  ],
  unnamed: (grams: string, spool: string) => `${grams} of ${spool}`,
  notEnoughDry: (spool: string) => `This air does not dry ${spoolName(spool)} enough for this job.`,
  neverSure: (spool: string) => `In this air ${spoolName(spool)} never gets surely dry enough.`,
  beyond: (spool: string) => `Not within three days: ${spoolName(spool)} takes longer.`,
  notDrying: (spool: string) => `Not yet: ${spoolName(spool)} is too wet, and nothing dries it.`,
  heatIt: 'Heat its box. Unheated, it stays as it is over a job’s hours.',
  chamberBeyond: 'Not within a day: the chamber is not foretold to be steady.',
  offTarget: (ends: string, wanted: string) => `Not so: the chamber ends near ${ends}, not at ${wanted}.`,
  short: (spool: string) => `${capital(spoolName(spool))} holds too little for this job.`,
  shortTell: (has: string, needs: string) => `The job takes ${needs}; ${has} are left on it.`,
  best: (chance: string, limit: string) =>
    `At best ${chance} that every turn is under ${limit} as it leaves, however long it dries.`,
  bestInThreeDays: (chance: string, limit: string) =>
    `At the latest start looked at, ${chance} that every turn is under ${limit} as it leaves.`,
  spoolNow: (grams: string, limit: string, sure: string) =>
    `Every turn of ${grams} is under ${limit} as it leaves, ${sure} sure.`,
  spoolAt: (grams: string, limit: string, sure: string, clock: string, wait: string) =>
    `Every turn of ${grams} is under ${limit} as it leaves, ${sure} sure, from about ${clock}, in ${wait}.`,
  dryOnAverage: 'Dry on average, as the Bench has it; that every turn this job feeds is dry is not yet sure.',
  averageAt: (clock: string) =>
    `On average the spool is dry at about ${clock}, the Bench’s time; this job asks for every turn that it feeds.`,
  averageBetween: (from: string, to: string) =>
    `On average the spool is dry between ${from} and ${to}, the Bench’s times; this job asks for every turn that it feeds.`,
  outerNow:
    'On average the spool is not dry yet, as the Bench has it; this job takes its outer turns, which are.',
  chamberNow: 'The chamber is steady.',
  chamberAt: (clock: string, wait: string, bedOn: boolean) =>
    bedOn
      ? `The chamber is steady from about ${clock}, in ${wait}.`
      : `The chamber would be steady at about ${clock}, in ${wait}, if its bed came on now.`,
  decides: (what: 'spool' | 'chamber', earlier: string | null) =>
    `The ${what} decides${earlier === null ? '' : `; the ${what === 'spool' ? 'chamber' : 'spool'} would be there ${earlier} earlier`}.`,
  together: (what: 'spool' | 'chamber') =>
    `The ${what} decides; the ${what === 'spool' ? 'chamber' : 'spool'} is there at about the same time.`,
  bedOn: (clock: string, basis: 'heating' | 'earlier-heat-up' | 'prior') =>
    `Bed on by about ${clock}${basis === 'prior' ? ', judged by what chambers are like: no heat-up of this one has been seen' : basis === 'earlier-heat-up' ? ', judged by its last heat-up' : ''}.`,
  bedOnNow: (basis: 'heating' | 'earlier-heat-up' | 'prior') =>
    `Bed on now${basis === 'prior' ? ', judged by what chambers are like: no heat-up of this one has been seen' : basis === 'earlier-heat-up' ? ', judged by its last heat-up' : ''}.`,
  noChamber: 'No chamber is waited for.',
  endsAt: (final: string, band: string, wanted: string) =>
    `It ends near ${final} (${band}) as it is heated now; the job wants ${wanted}.`,
  taken: (grams: string) => `Jobs took ${grams} off this spool already: the check begins there.`,
  boxAssumed: (assumed: string, present: string) =>
    `This takes the box to stand at ${assumed} while the job prints; it is at ${present} now.`,
  leftHotter:
    'Left hotter, the answer may be better: if filament and reel bear it by their makers’ word, type it under “Box, tube, and how sure”.',
  nowHead: 'If started now',
  nowChance: (chance: string, limit: string) => `${capital(chance)} that every turn is under ${limit}.`,
  nowChamber: (chance: string) => `${capital(chance)} that the chamber is steady.`,
  nowFrom: (grams: string) => `the first of them after about ${grams}`,
  nowFromFirst: 'from the first turn on',
  nowWet: (grams: string, band: string, after: string, wettest: string, wettestBand: string): Piece[] => [
    `About ${grams} `,
    soft(band),
    ` would leave too wet, ${after}; the wettest at ${wettest} `,
    soft(wettestBand),
    '.',
  ],
  nowAll: (wettest: string, wettestBand: string): Piece[] => [
    `All of it would leave too wet, the wettest at ${wettest} `,
    soft(wettestBand),
    '.',
  ],
  nowNone: 'As good as none of it would leave too wet.',
  purge: (grams: string) => `Purge ${grams} first: it stood in an undried tube.`,
  whyHead: 'What it rests on',
  chanceHead: 'Another time',
  chanceLabel: 'How likely each start is to come out well',
  window: 'Start of the job',
  at: (clock: string, chance: string, limit: string) =>
    `At ${clock}, ${chance} that every turn is under ${limit}`,
  atChamber: (chance: string) => `${chance} that the chamber is steady`,
  ifBedOn: 'if its bed comes on now',
  until: (clock: string) => `It would end at about ${clock}.`,
  axis: 'in 10:',
  sureLine: (sure: string) => `${sure}, as asked`,
  hint: 'Drag the window, or use ← → and Page keys, to try another start; Escape goes back.',
  table: 'The chances as a table',
  start: 'start',
  spoolColumn: 'every turn under the limit',
  chamberColumn: 'chamber steady',
} as const;

export const ASK = {
  head: 'The job',
  the: 'The job',
  takes: 'takes',
  of: 'g of',
  prints: 'and prints',
  for: 'for',
  atRate: 'at',
  hours: 'h',
  rate: 'g/h',
  chamberIs: 'The chamber is',
  noChamber: 'none',
  toBe: 'to be at',
  more: 'Box, tube, and how sure',
  box: 'Meanwhile the box stands at',
  exit: 'with its exit',
  exitOpen: 'open',
  exitClosed: 'closed',
  tube: 'The tube to the nozzle is',
  m: 'm long and',
  tubeDry: 'dried',
  tubeDamp: 'not dried',
  stood: 'filament has stood in it for',
  min: 'min.',
  sure: 'Be',
  sureEnd: 'sure.',
  stop: '.',
  comma: ',',
  fields: {
    name: 'what it is called',
    grams: 'grams it takes',
    spool: 'spool',
    pace: 'how its time is given',
    hours: 'hours it prints',
    rate: 'grams an hour',
    chamber: 'chamber',
    chamberC: 'temperature wanted in the chamber',
    boxC: 'box temperature meanwhile',
    exit: 'exit of the box',
    tubeM: 'length of the tube in metres',
    tube: 'whether the tube is dried',
    stood: 'minutes that filament has stood in it',
    sure: 'how sure',
  },
  usual: 'usual',
  any: 'any',
  noNumber: (typed: string, what: string, such: string) =>
    `“${typed}” is no number. Type the ${what} in figures, such as ${such}.`,
  outside: (typed: string, what: string, least: string, most: string, zeroToo: boolean) =>
    `${typed} is not possible here: type the ${what} as a number ${zeroToo ? `from ${least}` : `above ${least}`} and up to ${most}.`,
  tooSlow: (hours: string, most: string) =>
    `At that rate it prints for ${hours} h, and ${most} h is the most: type more grams an hour.`,
} as const;

const times = (count: number): string => (count === 1 ? 'once' : count === 2 ? 'twice' : `${count} times`);

const OUTCOMES = {
  good: 'good',
  warped: 'warped',
  stringy: 'stringy',
  weak: 'weak layers',
  stopped: 'stopped',
} as const;

/** What is pressed, and read beside it, while a job runs. */
export const RUN_ACTS = {
  begin: 'Start the job now',
  beginTell: 'Press when the print starts: from then on it is held against its window.',
  withSettings: 'Settings to keep with it',
  sending: 'Sending.',
  refused: (sentence: string) => `Not taken: ${sentence}`,
  nothing: 'no job runs',
  progress: 'Progress',
  pause: 'It is paused',
  resume: 'It goes on',
  end: 'It has ended',
  sure: 'An ended job cannot be taken up again.',
  endNow: 'End it',
  notYet: 'Not yet',
  excursions: 'Out of its window',
  none: 'Nothing so far.',
  notJudged: 'Not judged yet: damp air or a wet turn counts after ten minutes.',
  tooShort: 'It was too short to judge.',
  keptTo: 'It kept to its window all along.',
} as const;

export const WAITING = {
  tell: 'Tell when it may start',
  told: 'It waits below, is looked at every ten minutes, and is told as news when it may start.',
  head: 'Waiting for spool and chamber',
  facts: (grams: string, spool: string, hours: string) => `${grams} of ${spool}, ${hours} h.`,
  tooEarly: 'Too early to tell.',
  now: 'May start now.',
  notYet: (chance: string) => `Not yet: ${chance} if it started now.`,
  drop: 'Wait no more',
} as const;

export const ATTEMPTS = {
  head: 'Attempts',
  none: 'No job has been started here yet.',
  noneTell: 'A job started above is kept with all that was measured while it ran.',
  notArrived: 'The attempts have not arrived; they are asked for again.',
  columns: { name: 'job', when: 'started', took: 'printed', out: 'out of its window', outcome: 'outcome' },
  sides: { left: 'Left', right: 'Right' },
  putLeft: (name: string) => `Put ${name} on the left`,
  putRight: (name: string) => `Put ${name} on the right`,
  running: 'running',
  paused: 'paused',
  noOutcome: 'not said yet',
  keptTo: 'kept to its window',
  notJudged: 'not judged yet',
  tooShort: 'too short to judge',
  left: (count: number) => `left its window ${times(count)}`,
  pausedToo: (count: number) => `, paused ${times(count)}`,
  outcome: (name: keyof typeof OUTCOMES) => OUTCOMES[name],
  outcomes: Object.keys(OUTCOMES) as (keyof typeof OUTCOMES)[],
  say: (name: string) => `How did ${name} come out?`,
  note: 'Note',
  notePlaceholder: 'corner lifted at layer 40',
  keep: 'Keep the outcome',
  chooseOutcome: 'Choose an outcome first.',
  change: 'Change the outcome',
  report: 'This job as a report to print or keep',
  kept: (name: string, outcome: string) => `Kept: ${name}, ${outcome}.`,
  settings: 'Settings',
  settingName: (row: number) => `name of setting ${row}`,
  settingValue: (row: number) => `value of setting ${row}`,
  addSetting: 'Add a setting',
  settingHint: 'Anything that may matter: nozzle, speed, adhesive.',
  alone: 'The attempt',
  against: (left: string, right: string) => `${left} against ${right}`,
  differ: 'What differed most',
  differNone: 'Nothing that was measured or set differs by enough to say.',
  cause: 'What differs is not yet the cause.',
  chooseTwo: 'Choose two attempts to lay side by side.',
  own: 'Hours since the start',
  lanes: {
    chamber: 'Chamber air',
    box: 'Humidity of the feed air',
    fed: 'Turn being fed',
  },
  lane: (title: string, low: string, high: string, unit: string) => `${title}: ${low} to ${high} ${unit}`,
  laneNone: 'not measured',
  hour: (hours: number, inMinutes: boolean) => (inMinutes ? `${60 * hours} min` : `${hours} h`),
  facts: (grams: string, spool: string, hours: string) => `${grams} of ${spoolName(spool)}, ${hours}`,
} as const;

const MEASURES: Readonly<Record<string, string>> = {
  chamberC: 'Chamber',
  bedC: 'Bed',
  boxC: 'Box',
  boxRhPercent: 'Humidity in the box',
  boxVapourGPerM3: 'Water in the box air',
  roomC: 'Room',
  roomVapourGPerM3: 'Water in the room air',
};
const NO_TIME = 'not at all';
export const DIFFER = {
  mean: (measure: string, left: string, right: string) =>
    `${MEASURES[measure] ?? measure} ${left} against ${right}.`,
  highest: (left: string, right: string) => `Wettest turn fed ${left} against ${right}.`,
  sway: (left: string, right: string) =>
    `The chamber swayed by ${left} against ${right} (one standard deviation).`,
  chance: (left: string, right: string) =>
    `At the start ${left} against ${right} that every turn would be under the limit.`,
  setting: (name: string, left: string, right: string) => `${name}: ${left} against ${right}.`,
  notSaid: 'not said',
  excursion: (kind: string, left: string, right: string) => {
    const what: Readonly<Record<string, string>> = {
      'feed-air': 'Feed air too damp',
      'turn-too-wet': 'Turns too wet',
      'chamber-off': 'Chamber off its temperature',
      door: 'Door open',
      quiet: 'A station quiet',
      pause: 'Paused',
    };
    return `${what[kind] ?? kind}: ${left} against ${right}.`;
  },
  time: (spoken: Spoken | null) => (spoken === null ? NO_TIME : duration(spoken)),
} as const;
