/** Conditions about spools: never dry in this air, taking water back, lying out. */
import type { SpoolFacts } from '../facts.ts';
import { type AlarmFinding, CLEAR } from '../finding.ts';
import { duration, estimated, measured, moistureText, percent } from '../say.ts';
import type { Context } from './context.ts';

const BEING_DRIED: ReadonlySet<string> = new Set(['drying', 'levelling']);

export function floorAboveLimit({ id, station, drying }: SpoolFacts, c: Context): AlarmFinding {
  if (drying.kind === 'missing') return drying;
  const { state, pNever, floorWtPercent: floor, moistureWtPercent: moisture, limitWtPercent } = drying.value;
  if (state === 'unknown') return { kind: 'missing', reason: 'quiet' };
  // While box and winding warm up the air is not yet the one it will be dried in.
  if (state === 'warming') return { kind: 'missing', reason: 'not-yet' };
  if (!BEING_DRIED.has(state)) return CLEAR;
  if (pNever < (c.standing ? c.level - c.deadband : c.level)) return CLEAR;
  return {
    kind: 'met',
    sinceMs: null,
    detail: 'never',
    words: {
      headline: `This air will not dry “${id}” to ${percent(limitWtPercent)} %.`,
      text: `It is at ${moistureText(moisture)} and stops ${floor ? `near ${moistureText(floor)}` : 'above it'} however long it stays in ${c.say.place(station)}; ${Math.round(100 * pNever)} in 100 that this is so.`,
      advice: 'A drier room, desiccated air or a hotter box would help, as far as reel and material bear it.',
      number: floor ? estimated('floor', floor, 'wt %') : estimated('moisture', moisture, 'wt %'),
    },
  };
}

export function regain({ id, station, drying }: SpoolFacts, c: Context): AlarmFinding {
  if (drying.kind === 'missing') return drying;
  const { state, moistureWtPercent: moisture } = drying.value;
  if (state === 'unknown') return { kind: 'missing', reason: 'quiet' };
  if (state !== 'regaining') return CLEAR;
  return {
    kind: 'met',
    sinceMs: null,
    detail: 'regain',
    words: {
      headline: `“${id}” is taking up water again.`,
      text: `It lies unheated in ${c.say.place(station)} at ${moistureText(moisture)}, and the air there is damper than it.`,
      advice: 'Switch the box on again, or put the spool into a bag with desiccant.',
      number: estimated('moisture', moisture, 'wt %'),
    },
  };
}

export function spoolOut({ id, outSinceMs, drying }: SpoolFacts, c: Context): AlarmFinding {
  if (outSinceMs === null) return CLEAR;
  const hours = (c.nowMs - outSinceMs) / 3_600_000;
  if (hours < c.level) return CLEAR;
  const moisture = drying.kind === 'known' ? drying.value.moistureWtPercent : null;
  return {
    kind: 'met',
    sinceMs: outSinceMs,
    detail: 'out',
    words: {
      headline: `“${id}” has been lying out for ${duration(c.nowMs - outSinceMs)}.`,
      text: `It was taken out at ${c.say.clock(outSinceMs)}${moisture ? `, at ${moistureText(moisture)} then` : ''}; its air is not measured, so how much it took up is not known.`,
      advice: 'Bag it with desiccant or put it back, and say so under Spools.',
      number: measured('lying out', Math.round(10 * hours) / 10, 'h'),
    },
  };
}
