/** Conditions about heat: ceilings, lost heating, open lids, drift, condensation. */
import type { StationFacts } from '../facts.ts';
import { type AlarmFinding, CLEAR } from '../finding.ts';
import { CAUTION, capital, celsius, estimated, measured } from '../say.ts';
import type { Context } from './context.ts';

/** No unheated place is this warm, °C. */
const HEATED_C = 40;
/** So near to its hour's median, the air has settled. */
const SETTLED_C = 2;
/** Distance to the ceiling that counts as near, °C. */
const NEAR_C = 5;

export function ceilingPassed({ id, ceiling }: StationFacts, c: Context): AlarmFinding {
  if (ceiling === null) return CLEAR;
  if (ceiling.kind === 'missing') return ceiling;
  const { airC, ceilingC, outcome, reason } = ceiling.value;
  if (ceilingC === null) return CLEAR;
  if (outcome !== 'passed' && !(c.standing && airC > ceilingC - c.deadband)) return CLEAR;
  return {
    kind: 'met',
    sinceMs: null,
    detail: 'passed',
    words: {
      headline: `${capital(c.say.place(id))} has passed its ceiling of ${ceilingC} °C.`,
      text: `The air is at ${celsius(airC)} °C, measured: ${reason}.`,
      advice: 'Turn the heat down now, or open the door a hand’s breadth, and stay with it until it falls.',
      caution: `${CAUTION.fumes} ${CAUTION.heat}`,
      number: measured('air', airC, '°C'),
    },
  };
}

export function ceilingNear({ id, ceiling }: StationFacts, c: Context): AlarmFinding {
  if (ceiling === null) return CLEAR;
  if (ceiling.kind === 'missing') return ceiling;
  const { airC, ceilingC, outcome, reason, finalAirC, crossesAtMs } = ceiling.value;
  if (ceilingC === null) return CLEAR;
  if (outcome === 'passed') return { kind: 'held', by: 'ceiling-passed' };
  const near = outcome === 'near' || outcome === 'near-ahead';
  const highestC = Math.max(airC, finalAirC?.p95 ?? Number.NEGATIVE_INFINITY);
  if (!near && !(c.standing && highestC > ceilingC - NEAR_C - c.deadband)) return CLEAR;
  const place = capital(c.say.place(id));
  const ahead = outcome === 'near-ahead' && finalAirC !== null;
  return {
    kind: 'met',
    sinceMs: null,
    detail: crossesAtMs === null ? 'near' : 'near crosses',
    words: {
      headline:
        crossesAtMs === null
          ? `${place} comes near its ceiling of ${ceilingC} °C.`
          : `${place} will pass its ceiling of ${ceilingC} °C at about ${c.say.clock(crossesAtMs)}.`,
      text: ahead
        ? `It is at ${celsius(airC)} °C and ends near ${celsius(finalAirC.p50)} °C (${celsius(finalAirC.p05)}–${celsius(finalAirC.p95)}): ${reason}.`
        : `It is at ${celsius(airC)} °C, measured: ${reason}.`,
      advice: `Turn the heat down by ${Math.max(1, Math.ceil((finalAirC?.p95 ?? airC) - ceilingC + NEAR_C))} °C or more, or take out what bears least.`,
      caution: CAUTION.heat,
      number: ahead ? estimated('air in the end', finalAirC, '°C') : measured('air', airC, '°C'),
    },
  };
}

export function dryerTooHot({ id, ceiling }: StationFacts, c: Context): AlarmFinding {
  if (ceiling === null) return CLEAR;
  if (ceiling.kind === 'missing') return ceiling;
  const { airC, ceilingC, outcome, reason } = ceiling.value;
  if (ceilingC === null) return CLEAR;
  if (outcome !== 'passed' && !(c.standing && airC > ceilingC - c.deadband)) return CLEAR;
  return {
    kind: 'met',
    sinceMs: null,
    detail: 'too-hot',
    words: {
      headline: `${capital(c.say.place(id))} is too hot: ${celsius(airC)} °C, and ${ceilingC} °C is the most.`,
      text: `Measured in its air: ${reason}.`,
      advice: 'Turn it down or switch it off, and look whether the spool has softened or stuck.',
      caution: `${CAUTION.fumes} ${CAUTION.mains}`,
      number: measured('air', airC, '°C'),
    },
  };
}

type Answer = 'yes' | 'no' | 'unknown';

/** Whether a spool lies there in a drying run; one that is dry already waits for nothing. */
function holdsRun(station: string, c: Context, counts: 'undried' | 'any'): Answer {
  let answer: Answer = 'no';
  for (const spool of c.facts.spools) {
    if (spool.station !== station || spool.outSinceMs !== null) continue;
    if (spool.drying.kind === 'missing') answer = 'unknown';
    else if (spool.drying.value.run !== null && (counts === 'any' || spool.drying.value.dryCalledMs === null))
      return 'yes';
  }
  return answer;
}

/** Something there waits for the heat: a spool that is not dry yet, or a job. */
const heatIsWanted = (station: string, c: Context): Answer =>
  c.facts.jobs.some(({ phase, chamber }) => phase === 'running' && chamber === station)
    ? 'yes'
    : holdsRun(station, c, 'undried');

/** The dryer's timer ran out, a fuse went, the bed was switched off. */
export function heatingLost(station: StationFacts, c: Context): AlarmFinding {
  const { id, airC, hourMedianC } = station;
  if (airC.kind === 'missing') return airC;
  const wanted = heatIsWanted(id, c);
  if (wanted === 'no') return CLEAR;
  if (wanted === 'unknown') return { kind: 'missing', reason: 'not-yet' };
  if (c.mark) {
    const { referenceC = 0, sinceMs = c.nowMs } = c.mark;
    const back = airC.value > referenceC - c.level + (c.standing ? c.deadband : 0);
    // Turned down on purpose: hot all the same, and still for an hour.
    const settled =
      hourMedianC.kind === 'known' &&
      airC.value >= HEATED_C &&
      Math.abs(airC.value - hourMedianC.value) < SETTLED_C;
    return back || settled ? CLEAR : lost(id, airC.value, referenceC, sinceMs, c);
  }
  if (hourMedianC.kind === 'missing') return hourMedianC;
  if (hourMedianC.value < HEATED_C || airC.value >= hourMedianC.value - c.level) return CLEAR;
  return lost(id, airC.value, hourMedianC.value, station.coolingSinceMs ?? c.nowMs, c);
}

function lost(id: string, airC: number, referenceC: number, sinceMs: number, c: Context): AlarmFinding {
  return {
    kind: 'met',
    sinceMs,
    detail: 'lost',
    mark: { referenceC, sinceMs },
    words: {
      headline: `${capital(c.say.place(id))} has been cooling since ${c.say.clock(sinceMs)}; check its timer.`,
      text: `It held ${celsius(referenceC)} °C and is at ${celsius(airC)} °C, measured. No lid was seen to open. What is drying stops, and in time takes water back.`,
      advice: 'See whether its timer ran out or its supply failed, and switch it on again.',
      caution: CAUTION.mains,
      number: measured('air', airC, '°C'),
    },
  };
}

/** A lid or door that was opened and not shut, while the heat is on. */
export function lidOpenLong(station: StationFacts, c: Context): AlarmFinding {
  const { id, role, opening, airC, soak } = station;
  if (role !== 'drybox' && role !== 'chamber') return CLEAR;
  if (opening.kind === 'missing') return opening;
  if (opening.value === null) return CLEAR;
  if (soak?.kind === 'missing') return soak;
  if (soak && (soak.value.state === 'cooling' || soak.value.run === null)) return CLEAR;
  const holds = role === 'drybox' ? holdsRun(id, c, 'any') : 'yes';
  if (holds === 'no') return CLEAR;
  if (holds === 'unknown') return { kind: 'missing', reason: 'not-yet' };
  if (airC.kind === 'missing') return airC;
  const { sinceMs, beforeC } = opening.value;
  const what = role === 'drybox' ? 'lid' : 'door';
  return {
    kind: 'met',
    sinceMs,
    detail: 'open',
    words: {
      headline: `${capital(c.say.place(id))} seems to stand open since ${c.say.clock(sinceMs)}.`,
      text: `Its air fell from ${celsius(beforeC)} °C within a minute and is at ${celsius(airC.value)} °C, measured; it has not come back.`,
      advice: `Shut the ${what}. If it is shut, see whether the heat is on.`,
      caution: CAUTION.heat,
      number: measured('air', airC.value, '°C'),
    },
  };
}

/** While a job runs: steady no longer. Without one, the news that it is steady is withdrawn instead. */
export function chamberDrifting({ id, soak }: StationFacts, c: Context): AlarmFinding {
  if (soak === null) return CLEAR;
  if (soak.kind === 'missing') return soak;
  if (!c.facts.jobs.some(({ phase, chamber }) => phase === 'running' && chamber === id)) return CLEAR;
  const { driftCPer10Min, driftLimitCPer10Min, airC, finalAirC, state } = soak.value;
  if (state === 'cold') return CLEAR;
  if (driftCPer10Min === null || airC === null) return { kind: 'missing', reason: 'not-yet' };
  const share = Math.abs(driftCPer10Min) / driftLimitCPer10Min;
  if (share <= (c.standing ? Math.max(0, c.level - c.deadband) : c.level)) return CLEAR;
  const way = driftCPer10Min > 0 ? 'rises' : 'falls';
  return {
    kind: 'met',
    sinceMs: null,
    detail: way,
    words: {
      headline: `${capital(c.say.place(id))} ${way} by ${Math.abs(driftCPer10Min).toFixed(1)} °C in ten minutes while printing.`,
      text: `It is at ${celsius(airC)} °C${finalAirC === null ? '' : ` and heads for ${celsius(finalAirC.p50)} °C (${celsius(finalAirC.p05)}–${celsius(finalAirC.p95)})`}; it counts as steady up to ${driftLimitCPer10Min} °C.`,
      advice: 'See whether fan, vent or bed were changed, or a panel stands open.',
      caution: CAUTION.heat,
      number:
        finalAirC === null
          ? measured('drift', driftCPer10Min, '°C/10 min')
          : estimated('air in the end', finalAirC, '°C'),
    },
  };
}

/** Moist air against something colder than its dew point. */
export function condensationRisk(station: StationFacts, c: Context): AlarmFinding {
  const { id, dewPointC, coldestSurfaceC } = station;
  if (dewPointC === null || coldestSurfaceC === null) return CLEAR;
  if (dewPointC.kind === 'missing') return dewPointC;
  if (coldestSurfaceC.kind === 'missing') return coldestSurfaceC;
  const { lowC, highC } = dewPointC.value;
  const surfaceC = coldestSurfaceC.value;
  // What is surely so, to raise it; what may be so keeps it.
  const dewC = c.standing ? highC : lowC;
  if (dewC === null || dewC < surfaceC - c.level - (c.standing ? c.deadband : 0)) return CLEAR;
  const middleC = lowC === null ? highC : 0.5 * (lowC + highC);
  return {
    kind: 'met',
    sinceMs: null,
    detail: 'wet',
    words: {
      headline: `Water may condense in ${c.say.place(id)}.`,
      text: `The dew point of its air is ${celsius(middleC)} °C (${lowC === null ? 'at most' : `${celsius(lowC)}–`}${celsius(highC)}), and its coldest surface is near ${celsius(surfaceC)} °C.`,
      advice: 'Let the damp air out, or warm what is cold. Keep water away from boards and supplies.',
      caution: CAUTION.mains,
      number: { label: 'dew point', value: middleC, low: lowC, high: highC, unit: '°C' },
    },
  };
}
