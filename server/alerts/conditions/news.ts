/** What is told once a run, and how it is taken back. */
import type { JobFacts, SpoolFacts, StationFacts } from '../facts.ts';
import type { NewsFinding } from '../finding.ts';
import { CAUTION, capital, celsius, estimated, measured, moistureText, percent } from '../say.ts';
import type { Context } from './context.ts';

/** Usable grams short of this share of the spool: its inner turns are not sure yet. */
const WHOLE_SHARE = 0.98;

export function filamentDry({ id, drying }: SpoolFacts, c: Context): NewsFinding {
  if (drying.kind === 'missing') return drying;
  const fact = drying.value;
  const { run, moistureWtPercent: moisture, readyOuterG, netMassG, pDry, dryCalledMs } = fact;
  if (run === null) return { kind: 'no-run' };
  if (fact.state === 'unknown') return { kind: 'missing', reason: 'quiet' };
  const number = estimated('moisture', moisture, 'wt %');
  const limit = percent(fact.limitWtPercent);
  if (dryCalledMs === null)
    return {
      kind: 'false',
      run,
      withdrawal: {
        headline: `“${id}” is not dry after all.`,
        text: `It is at ${moistureText(moisture)}; ${Math.round(100 * pDry)} in 100 that it is under ${limit} %.`,
        advice: 'Leave it in. If the box was opened or cooled, see that it is hot again.',
        number,
      },
    };
  const whole = readyOuterG.p05 >= WHOLE_SHARE * netMassG;
  return {
    kind: 'true',
    run,
    words: {
      headline: `“${id}” is dry.`,
      text: `Since ${c.say.clock(dryCalledMs)} at ${moistureText(moisture)}, under ${limit} % with ${Math.round(100 * pDry)} in 100.${whole ? '' : ` On average: ${readyOuterG.p05 >= 1 ? `the outer ${Math.round(readyOuterG.p05)} g can be counted on, its inner turns not yet` : 'which turns are under it is not sure yet'}.`}`,
      advice: 'Print from the box, or take it out into a bag with desiccant.',
      caution: CAUTION.heat,
      number,
    },
  };
}

export function chamberSteady({ id, soak }: StationFacts, c: Context): NewsFinding {
  if (soak === null) return { kind: 'no-run' };
  if (soak.kind === 'missing') return soak;
  const { run, state, steadySinceMs, airC, finalAirC } = soak.value;
  if (run === null || state === 'cooling') return { kind: 'no-run' };
  if (state === 'unknown' || airC === null) return { kind: 'missing', reason: 'quiet' };
  const place = capital(c.say.place(id));
  const ends =
    finalAirC === null
      ? ''
      : ` and ends near ${celsius(finalAirC.p50)} °C (${celsius(finalAirC.p05)}–${celsius(finalAirC.p95)})`;
  const number =
    finalAirC === null ? measured('air', airC, '°C') : estimated('air in the end', finalAirC, '°C');
  if (steadySinceMs === null)
    return {
      kind: 'false',
      run,
      withdrawal: {
        headline: `${place} is steady no longer.`,
        text: `It is at ${celsius(airC)} °C${ends}.`,
        advice: 'Wait with the print. See whether door, fan or vent were changed.',
        number,
      },
    };
  return {
    kind: 'true',
    run,
    words: {
      headline: `${place} is steady.`,
      text: `Since ${c.say.clock(steadySinceMs)}: it is at ${celsius(airC)} °C${ends}.`,
      advice: 'As far as the chamber goes, the print may start.',
      number,
    },
  };
}

export function safeToOpen({ id, soak }: StationFacts, c: Context): NewsFinding {
  if (soak === null) return { kind: 'no-run' };
  if (soak.kind === 'missing') return soak;
  const { run, state, openSinceMs, airC } = soak.value;
  if (run === null) return { kind: 'no-run' };
  if (state === 'unknown' || airC === null) return { kind: 'missing', reason: 'quiet' };
  const place = capital(c.say.place(id));
  const number = measured('air', airC, '°C');
  if (openSinceMs === null)
    return {
      kind: 'false',
      run,
      withdrawal: {
        headline: `${place} is warm again: better leave it shut.`,
        text: `Its air is at ${celsius(airC)} °C, measured.`,
        advice: 'Wait until it has cooled, so that the part does not warp.',
        caution: CAUTION.heat,
        number,
      },
    };
  return {
    kind: 'true',
    run,
    words: {
      headline: `${place} may be opened.`,
      text: `Since ${c.say.clock(openSinceMs)} air and frame have cooled enough for the part; the air is at ${celsius(airC)} °C, measured.`,
      advice: 'Take the part off once the bed has cooled as well.',
      caution: CAUTION.heat,
      number,
    },
  };
}

export function mayStart({ id, name, phase, mayStart: fact }: JobFacts): NewsFinding {
  if (phase !== 'planned') return { kind: 'no-run' };
  if (fact.kind === 'missing') return fact;
  const { now, probability } = fact.value;
  const chance = Math.round(100 * probability);
  const number = measured('chance that every metre is under its limit', chance, 'in 100');
  if (!now)
    return {
      kind: 'false',
      run: id,
      withdrawal: {
        headline: `${name}: better not started now.`,
        text: `By now it is ${chance} in 100 that every metre is under its limit as it is fed and the chamber is steady.`,
        advice: 'See under Jobs what changed and when the next start is.',
        number,
      },
    };
  return {
    kind: 'true',
    run: id,
    words: {
      headline: `${name} may start now.`,
      text: `${chance} in 100 that every metre is under its limit as it is fed and the chamber is steady.`,
      advice: 'Start it, or look under Jobs what waiting would bring.',
      number,
    },
  };
}
