/** A start check's finding in sentences for a terminal. */
import type { StartFindingWire } from '../api/messages-jobs.ts';

export interface StartSaid {
  readonly nowMs: number;
  readonly sure: number;
  readonly limitWtPercent: number | null;
}

/** Local time; with the weekday where it is not today's. */
export function clockTime(ms: number, nowMs: number): string {
  const time = new Date(ms).toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
  const day = (at: number): string => new Date(at).toDateString();
  if (day(ms) === day(nowMs)) return time;
  return `${new Date(ms).toLocaleDateString('en-GB', { weekday: 'short', day: 'numeric', month: 'short' })} ${time}`;
}

export function describeStart(finding: StartFindingWire, said: StartSaid): readonly string[] {
  const lines = [headline(finding, said)];
  const decides = finding.reasons.find((reason) => reason.kind === 'decides');
  const at = (ms: number): string => clockTime(ms, said.nowMs);
  const surely = `${Math.round(100 * said.sure)} %`;
  if (finding.spoolReadyMs !== null)
    lines.push(
      finding.spoolReadyMs <= said.nowMs
        ? `The spool is ready now: ${surely} sure that every turn is under the limit as it leaves.`
        : `The spool is ready at ${at(finding.spoolReadyMs)}, in ${hours(finding.hoursToSpool)}, ${surely} sure that every turn is under the limit as it leaves.`,
    );
  if (finding.chamberReadyMs !== null)
    lines.push(
      finding.chamberReadyMs <= said.nowMs
        ? 'The chamber is steady now.'
        : finding.bedOn === false
          ? `The chamber would be steady at ${at(finding.chamberReadyMs)}, in ${hours(finding.hoursToChamber)}, if its bed came on now.`
          : `The chamber is steady at ${at(finding.chamberReadyMs)}, in ${hours(finding.hoursToChamber)}.`,
    );
  if (decides?.kind === 'decides' && decides.what !== 'neither')
    lines.push(
      `The ${decides.what} decides${decides.otherEarlierMin === null ? '' : `; the ${decides.what === 'spool' ? 'chamber' : 'spool'} would be ready ${sayMinutes(decides.otherEarlierMin)} earlier`}.`,
    );
  for (const reason of finding.reasons) {
    if (reason.kind === 'bed-on-by')
      lines.push(
        `Bed on ${reason.atMs <= said.nowMs + SOON_MS ? 'now' : `by ${at(reason.atMs)}`}${reason.basis === 'prior' ? ', judged by what chambers are like: no heat-up of this one has been seen' : ''}.`,
      );
    if (reason.kind === 'filament-taken')
      lines.push(
        `Jobs took ${Math.round(reason.takenG)} g off this spool since its mass was stated: the check begins there.`,
      );
    if (reason.kind === 'box-assumed')
      lines.push(
        `This takes the box to stand at ${Math.round(reason.assumedC)} °C while the job prints; it is at ${Math.round(reason.presentC)} °C now.${finding.outcome === 'start-now' ? '' : ' Left hotter, the answer may be better: if filament and reel bear it by their makers’ word, ask again with --box-c.'}`,
      );
    if (reason.kind === 'no-chamber') lines.push('No chamber is waited for.');
    if (reason.kind === 'chamber-ends-at')
      lines.push(
        `The chamber ends near ${reason.finalAirC.p50.toFixed(1)} °C${band(reason.finalAirC, 1)}, not at ${reason.targetC} °C.`,
      );
    if (reason.kind === 'spool-short')
      lines.push(`The job needs ${reason.needsG} g; the spool holds ${reason.hasG} g.`);
    if (reason.kind === 'probability-at-last' && finding.outcome !== 'spool-never')
      lines.push(
        `At the latest start looked at, ${shortOf(reason.probability, said.sure)} that every turn is under the limit.`,
      );
  }
  const { ifNow } = finding;
  if (ifNow && finding.outcome !== 'start-now') {
    const limit = said.limitWtPercent === null ? 'the limit' : `${said.limitWtPercent} %`;
    lines.push(
      `Started now: ${shortOf(ifNow.pSpool, said.sure)} that every turn is under ${limit}; about ${ifNow.tooWetG.p50.toFixed(0)} g${band(ifNow.tooWetG, 0)} would leave too wet, the first after ${ifNow.underG.p50.toFixed(0)} g, the wettest at ${ifNow.wettestWtPercent.p50.toFixed(3)} %${band(ifNow.wettestWtPercent, 3)}.`,
    );
  }
  if (ifNow && ifNow.purgeG > 0)
    lines.push(`Purge ${Math.ceil(ifNow.purgeG)} g first: it stood in an undried tube.`);
  return lines;
}

function headline({ outcome, earliestMs, reasons }: StartFindingWire, { nowMs, sure }: StartSaid): string {
  switch (outcome) {
    case 'start-now':
      return 'Start now.';
    case 'start-later':
      return `Start at ${clockTime(earliestMs ?? nowMs, nowMs)}.`;
    case 'spool-never': {
      const last = reasons.find((reason) => reason.kind === 'probability-at-last');
      const best = last?.kind === 'probability-at-last' ? last.probability : 0;
      return best < HARDLY
        ? 'Not in this air: the spool does not get dry enough for this job.'
        : `Never sure enough in this air: ${shortOf(best, sure)} at best, however long it dries.`;
    }
    case 'spool-beyond':
      return 'Not within three days: the spool takes longer than can be foretold.';
    case 'spool-not-drying':
      return 'Not yet: the spool is too wet for this job, and nothing dries it. Heat the box.';
    case 'chamber-beyond':
      return 'Not within a day: the chamber is not foretold to be steady.';
    case 'chamber-off-target':
      return 'Not as things are: the chamber ends elsewhere than the job wants.';
    case 'not-enough-filament':
      return 'Not with this spool: it holds too little.';
    case 'bad-request':
      return 'This is no job.';
  }
}

/** Within a few minutes is now: nobody walks to the printer faster. */
const SOON_MS = 300_000;
/** Below this a chance is no longer worth its number. */
const HARDLY = 0.15;
const hours = (h: number | null): string => (h === null ? 'some time' : sayMinutes(60 * h));
function sayMinutes(minutes: number): string {
  const whole = Math.round(minutes);
  const rest = whole % 60;
  if (whole < 60) return `${whole} min`;
  return rest === 0 ? `${(whole - rest) / 60} h` : `${(whole - rest) / 60} h ${rest} min`;
}
/** Left out where it has no width to be seen. */
function band({ p05, p95 }: { readonly p05: number; readonly p95: number }, decimals: number): string {
  const [low, high] = [p05.toFixed(decimals), p95.toFixed(decimals)];
  return low === high ? '' : ` (${low} to ${high})`;
}
const inTen = (p: number): string =>
  p < 0.05
    ? 'hardly any chance'
    : p > 0.95
      ? 'all but sure'
      : `${Math.min(9, Math.max(1, Math.round(10 * p)))} in 10`;
/** A chance that would round to what was asked for is said in hundredths, rounded down. */
const shortOf = (p: number, asked: number): string =>
  p > 0.95 || (p >= 0.05 && inTen(p) === inTen(asked)) ? `${Math.floor(100 * p + 1e-9)} in 100` : inTen(p);
