/** Conditions about a running job and the program itself. */
import type { Excursion, JobFacts, ProgramFacts } from '../facts.ts';
import { type AlarmFinding, CLEAR } from '../finding.ts';
import { CAUTION, celsius, duration, measured, percent } from '../say.ts';
import type { Context } from './context.ts';

const EXCURSIONS: Readonly<Record<Excursion['what'], string>> = {
  'chamber-off': 'the chamber left its band',
  'feed-air': 'the air that the filament is fed from is too damp',
  'turn-too-wet': 'the turn being fed is over its limit',
  door: 'the door is open',
  quiet: 'a station is quiet',
  pause: 'the print pauses',
};
/** A quiet station has an alarm of its own, and a pause was entered by a person. */
const SPOKEN_OF_ELSEWHERE: ReadonlySet<string> = new Set(['quiet', 'pause']);

export function jobExcursion({ name, phase, excursions }: JobFacts, c: Context): AlarmFinding {
  if (phase !== 'running') return CLEAR;
  if (excursions.kind === 'missing') return excursions;
  const open = excursions.value.filter(({ what }) => !SPOKEN_OF_ELSEWHERE.has(what));
  const first = open[0];
  if (!first) return CLEAR;
  return {
    kind: 'met',
    sinceMs: first.sinceMs,
    detail: open.map(({ what }) => what).join(' '),
    words: {
      headline: `${name}: ${EXCURSIONS[first.what]}.`,
      text: open.map((one) => sentence(one, c)).join(' '),
      advice: 'Look at the print; what was laid down since is marked in its record.',
      caution: CAUTION.heat,
      number:
        first.worst !== null && first.unit !== null
          ? measured('at worst', first.worst, first.unit)
          : measured('outside for', Math.round((c.nowMs - first.sinceMs) / 60_000), 'min'),
    },
  };
}

function sentence({ what, sinceMs, worst, limit, unit }: Excursion, c: Context): string {
  const figure =
    worst === null || unit === null
      ? ''
      : `, at worst ${unit === '°C' ? celsius(worst) : percent(worst)} ${unit}${limit === null ? '' : ` where ${unit === '°C' ? celsius(limit) : percent(limit)} is the limit`}`;
  return `Since ${c.say.clock(sinceMs)} ${EXCURSIONS[what]}${figure}.`;
}

export function clockStepped({ clockStep }: ProgramFacts, c: Context): AlarmFinding {
  if (clockStep === null) return CLEAR;
  const { seconds, atMs } = clockStep;
  const way = seconds > 0 ? 'forward' : 'back';
  return {
    kind: 'met',
    sinceMs: atMs,
    detail: String(seconds),
    words: {
      headline: `The computer’s clock was set ${way} by ${duration(1000 * Math.abs(seconds))}.`,
      text: `At ${c.say.clock(atMs)} by the new time. Runs and delays go on by a steady clock; the history has a ${seconds > 0 ? 'gap' : 'stretch told twice'} there.`,
      advice: 'Nothing, if that was wanted. Otherwise see whether the computer’s clock has a battery.',
      number: measured('step', seconds, 's'),
    },
  };
}

export function storageTrouble({ storageTrouble: trouble }: ProgramFacts): AlarmFinding {
  if (trouble === null) return CLEAR;
  return {
    kind: 'met',
    sinceMs: null,
    detail: 'trouble',
    words: {
      headline: 'The history is not being written.',
      text: `${trouble} The live view goes on; readings since then may be lost.`,
      advice: 'Make room on the disk, or name another data folder.',
      number: null,
    },
  };
}
