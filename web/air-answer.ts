/** Answers from the air alone: a sensor that cannot be used, else what is heard. Pure. */
import type { StationState } from '../server/api/messages.ts';
import type { Answer, AnswerFacts } from './answer-facts.ts';
import type { Bench } from './bench-model.ts';
import { type Format, fixed, range, withUnit } from './format.ts';
import type { Piece } from './pieces.ts';
import { isBox, nameIn, usable } from './stations.ts';
import { ANSWER } from './words/answer.ts';
import { PLATE } from './words/bench.ts';
import { fault } from './words/ground.ts';

/** The sensor of the box or the chamber speaks, but not of anything that can be used. */
export function sensorFault(facts: AnswerFacts, bench: Bench): Answer | null {
  const { format } = facts;
  const { spool } = facts;
  const needed: (StationState | null)[] = spool?.drying
    ? bench.stations.filter((station) => station.id === spool.station)
    : [facts.cast.box, facts.cast.chamber];
  if (facts.job) needed.push(bench.stations.find((station) => station.id === facts.job?.chamber) ?? null);
  for (const station of needed) {
    if (!station) continue;
    const where = nameIn(bench.stations, station);
    const others = bench.stations.filter((other) => other !== station && !other.quiet);
    // A board that speaks only of its broken sensor is no comfort.
    const [mute, sound] = [true, false].map((is) =>
      others.filter(({ faults }) => (faults['t'] !== undefined) === is),
    ) as [StationState[], StationState[]];
    const beside = [
      ...(mute.length === 0 ? [] : [ANSWER.alsoNotHeard(mute.map((one) => nameIn(bench.stations, one)))]),
      ANSWER.othersHeard(sound.length, mute.length),
    ];
    const answer = (heading: string, tell: string): Answer => ({
      heading,
      tell: [[tell, ...beside].join(' ').trim()],
      aside: null,
    });
    // The warmth of either matters; the humidity of a chamber does not.
    const keys = isBox(station) ? (['t', 'rh'] as const) : (['t'] as const);
    for (const key of keys) {
      const [name, value] = [station.faults[key], station.values[key]];
      if (name !== undefined)
        return answer(
          key === 't' ? ANSWER.temperatureFault(where) : ANSWER.humidityFault(where),
          ANSWER.faultTell(fault(name)),
        );
      if (value !== undefined && station.flagged.includes(key))
        return answer(
          ANSWER.implausible(where, key === 't' ? inUnit(value, format) : humidity(value)),
          ANSWER.implausibleTell,
        );
    }
  }
  return null;
}

export const inUnit = (celsius: number, format: Format): string =>
  withUnit(format.temperature(celsius), format.temperatureUnit);
const humidity = (percent: number | null): string => withUnit(fixed(percent, 1), PLATE.humidityUnit);

export function allHeard(facts: AnswerFacts, bench: Bench, speaking: readonly StationState[]): Answer {
  const { format, cast } = facts;
  const main = cast.box ?? cast.chamber ?? cast.room ?? speaking[0] ?? null;
  const temperature = main && usable(main, 't');
  if (!main || temperature === null)
    return { heading: ANSWER.heardOnly(speaking.length), tell: [], aside: null };
  const where = nameIn(bench.stations, main);
  const heading =
    speaking.length === 1
      ? ANSWER.heardOne(where, valuesOf(main, format) ?? inUnit(temperature, format))
      : ANSWER.heard(speaking.length, where, inUnit(temperature, format));
  const tell: Piece[] = [...waterIn(main, main === cast.room ? null : cast.room, format)];
  const { chamber } = cast;
  const chamberC = chamber && usable(chamber, 't');
  if (chamber && chamber !== main && chamberC !== null)
    tell.push(
      tell.length > 0 ? ' ' : '',
      ANSWER.chamberAt(nameIn(bench.stations, chamber), inUnit(chamberC, format)),
    );
  return { heading, tell, aside: null };
}

function waterIn(station: StationState, room: StationState | null, format: Format): Piece[] {
  const air = station.air;
  if (!air) return [];
  if (air.vapourDensityGPerM3 === null) {
    const bound = air.dewPointBand;
    if (bound?.kind !== 'at-most') return [];
    return [ANSWER.belowZero(humidity(air.relativeHumidityPercent), inUnit(bound.highC, format))];
  }
  const bandOf = (of: typeof air): string | null =>
    of.vapourDensityBandGPerM3 && range(of.vapourDensityBandGPerM3.low, of.vapourDensityBandGPerM3.high, 1);
  const pieces = ANSWER.holds(withUnit(fixed(air.vapourDensityGPerM3, 1), PLATE.vapourUnit), bandOf(air));
  const roomAir = room && !room.quiet ? room.air : null;
  if (roomAir && roomAir.vapourDensityGPerM3 !== null)
    pieces.push(...ANSWER.roomHolds(fixed(roomAir.vapourDensityGPerM3, 1), bandOf(roomAir)));
  return [...pieces, ANSWER.stop];
}

/** "80.1 °C and 3.6 %RH", as far as both are known. */
export function valuesOf(station: StationState, format: Format): string | null {
  const [t, rh] = [usable(station, 't'), usable(station, 'rh')];
  const parts = [...(t === null ? [] : [inUnit(t, format)]), ...(rh === null ? [] : [humidity(rh)])];
  return parts.length === 2 ? ANSWER.and(parts[0]!, parts[1]!) : (parts[0] ?? null);
}
