/** Goes through every rule and everything it is about: one finding each, before folding. */

import type { Context } from './conditions/context.ts';
import {
  ceilingNear,
  ceilingPassed,
  chamberDrifting,
  condensationRisk,
  dryerTooHot,
  heatingLost,
  lidOpenLong,
} from './conditions/heat.ts';
import { chamberSteady, filamentDry, mayStart, safeToOpen } from './conditions/news.ts';
import { clockStepped, jobExcursion, storageTrouble } from './conditions/program.ts';
import { floorAboveLimit, regain, spoolOut } from './conditions/spools.ts';
import { boardQuiet, sensorFault, stationQuiet } from './conditions/stations.ts';
import type { Facts, JobFacts, SpoolFacts, StationFacts } from './facts.ts';
import type { AlarmFinding, NewsFinding } from './finding.ts';
import type { RuleKey } from './rules.ts';

/** What an alarm or a piece of news is about. */
export interface Subject {
  /** Stable, and the same after a restart. */
  readonly id: string;
  readonly rule: RuleKey;
  readonly station: string | null;
  readonly spool: string | null;
  readonly job: string | null;
  /** The board's source, where it is about a whole board. */
  readonly source: string | null;
}

export interface Watch<F> {
  readonly subject: Subject;
  readonly judge: (facts: Facts, c: Context) => F;
}
export interface Watches {
  readonly alarms: readonly Watch<AlarmFinding>[];
  readonly news: readonly Watch<NewsFinding>[];
}

const about = (rule: RuleKey, id: string, more: Partial<Subject> = {}): Subject => ({
  station: null,
  spool: null,
  job: null,
  source: null,
  ...more,
  id,
  rule,
});

/** Rules apply where their facts can exist: a room has no ceiling and no lid. Facts are found by their place in the list. */
function everyWatch(facts: Facts): Watches {
  const alarms: Watch<AlarmFinding>[] = [];
  const news: Watch<NewsFinding>[] = [];
  const boards = byBoard(facts.stations);
  const pick = (of: Facts, places: readonly number[]): readonly StationFacts[] =>
    places.map((place) => of.stations[place] as StationFacts);
  for (const [source, places] of boards)
    if (places.length > 1)
      alarms.push({
        subject: about('board-quiet', `board-quiet:board:${source}`, { source }),
        judge: (of, c) => boardQuiet(source, pick(of, places), c),
      });
  facts.stations.forEach(({ id, role, source }, place) => {
    const subject = (rule: RuleKey): Subject => about(rule, `${rule}:${id}`, { station: id });
    const at = (rule: RuleKey, judge: (station: StationFacts, c: Context) => AlarmFinding): void => {
      alarms.push({
        subject: subject(rule),
        judge: (of, c) => judge(of.stations[place] as StationFacts, c),
      });
    };
    const beside = source === null ? [] : (boards.get(source) ?? []);
    alarms.push({
      subject: subject('station-quiet'),
      judge: (of, c) => stationQuiet(of.stations[place] as StationFacts, pick(of, beside), c),
    });
    at('sensor-fault', sensorFault);
    if (role === 'room') return;
    if (role === 'drybox') at('dryer-too-hot', dryerTooHot);
    else {
      at('ceiling-passed', ceilingPassed);
      at('ceiling-near', ceilingNear);
    }
    at('condensation-risk', condensationRisk);
    if (role !== 'drybox' && role !== 'chamber') return;
    at('lid-open-long', lidOpenLong);
    at('heating-lost', heatingLost);
    if (role !== 'chamber') return;
    at('chamber-drifting', chamberDrifting);
    const told = (rule: RuleKey, judge: (station: StationFacts, c: Context) => NewsFinding): void => {
      news.push({ subject: subject(rule), judge: (of, c) => judge(of.stations[place] as StationFacts, c) });
    };
    told('chamber-steady', chamberSteady);
    told('safe-to-open', safeToOpen);
  });
  facts.spools.forEach(({ id, station }, place) => {
    const subject = (rule: RuleKey): Subject => about(rule, `${rule}:spool:${id}`, { station, spool: id });
    const of = (all: Facts): SpoolFacts => all.spools[place] as SpoolFacts;
    alarms.push(
      { subject: subject('floor-above-limit'), judge: (all, c) => floorAboveLimit(of(all), c) },
      { subject: subject('regain'), judge: (all, c) => regain(of(all), c) },
      { subject: subject('spool-out-too-long'), judge: (all, c) => spoolOut(of(all), c) },
    );
    news.push({ subject: subject('filament-dry'), judge: (all, c) => filamentDry(of(all), c) });
  });
  facts.jobs.forEach(({ id, chamber, spool }, place) => {
    const subject = (rule: RuleKey): Subject =>
      about(rule, `${rule}:job:${id}`, { station: chamber, spool, job: id });
    alarms.push({
      subject: subject('job-excursion'),
      judge: (all, c) => jobExcursion(all.jobs[place] as JobFacts, c),
    });
    news.push({ subject: subject('may-start'), judge: (all) => mayStart(all.jobs[place] as JobFacts) });
  });
  alarms.push(
    { subject: about('clock-stepped', 'clock-stepped'), judge: (all, c) => clockStepped(all.program, c) },
    { subject: about('disk-full', 'disk-full'), judge: (all) => storageTrouble(all.program) },
  );
  return { alarms, news };
}

function byBoard(stations: readonly StationFacts[]): ReadonlyMap<string, readonly number[]> {
  const boards = new Map<string, number[]>();
  stations.forEach(({ source }, place) => {
    if (source === null) return;
    const found = boards.get(source);
    if (found) found.push(place);
    else boards.set(source, [place]);
  });
  return boards;
}

/** The list is made anew only when something on the bench is: a station heard elsewhere, a spool moved, a job begun. */
export function createWatches(): (facts: Facts) => Watches {
  let of: Facts | null = null;
  let watches: Watches = { alarms: [], news: [] };
  return (facts) => {
    if (!of || !isSameBench(of, facts)) watches = everyWatch(facts);
    of = facts;
    return watches;
  };
}

const isSameBench = (a: Facts, b: Facts): boolean =>
  a.stations.length === b.stations.length &&
  a.spools.length === b.spools.length &&
  a.jobs.length === b.jobs.length &&
  a.stations.every(({ id, source }, i) => id === b.stations[i]?.id && source === b.stations[i].source) &&
  a.spools.every(({ id, station }, i) => id === b.spools[i]?.id && station === b.spools[i].station) &&
  a.jobs.every(({ id, chamber, spool }, i) => {
    const other = b.jobs[i];
    return id === other?.id && chamber === other.chamber && spool === other.spool;
  });
