/** Of a chamber: its lane, its part of the answer, its ceiling, and why. */
import type { Ceiling } from '../../server/api/messages-chamber.ts';
import type { Piece } from '../pieces.ts';
import { capital, duration, type Spoken } from './ground.ts';

const railed = (text: string): Piece => ({ key: text, mark: 'rails', tone: 'heat' });
const soft = (text: string): Piece => ({ soft: `(${text})` });

/** Why the end of a range is open. */
type Open = 'never' | 'beyond';
const PERHAPS: Record<Open, string> = { never: ', or never', beyond: ', perhaps in over a day' };

export const CHAMBER_LANE = {
  frame: 'frame',
  endsAt: (value: string, band: string) => `ends at ${value} (${band})`,
  endsAtShort: (value: string) => `ends at ${value}`,
  held: (low: string, high: string) => `band of the job ${low}–${high}`,
  steadyAt: (clock: string) => `steady ${clock}`,
  steadyFrom: (clock: string) => `steady from ${clock}`,
  steadySince: (clock: string) => `steady since ${clock}`,
  steadyOpen: 'steady, if at all',
  openAt: (clock: string) => `may be opened ${clock}`,
  openFrom: (clock: string) => `may be opened from ${clock}`,
  openSince: (clock: string) => `cool enough to open since ${clock}`,
  openRange: (from: string, open: Open) => (open === 'never' ? `${from} or never` : `${from} or over a day`),
  ceiling: (value: string) => `ceiling ${value}`,
  ceilingWhose: (whose: string) => `: ${whose}`,
  noForecast: 'no forecast',
  wasToEnd: (value: string, band: string) => `to end at ${value} (${band})`,
  frameBehind: (value: string) => `frame ${value} from where it ends`,
  door: (clock: string, lasted: string | null) => (lasted ? `door ${clock}, ${lasted}` : `door ${clock}`),
  off: (clock: string, lasted: string | null) =>
    lasted ? `off its band ${clock}, ${lasted}` : `off its band since ${clock}`,
  downTo: (value: string) => `down to ${value}`,
  upTo: (value: string) => `up to ${value}`,
} as const;

/** Sentences about a chamber. `where` is "the chamber"; temperatures and times come as text. */
export const CHAMBER = {
  isAt: (where: string, air: string) => `${capital(where)} is at ${air}`,
  steadyAbout: (clock: string, band: string): Piece[] => [
    ' and steady from about ',
    railed(clock),
    ' ',
    soft(band),
    '.',
  ],
  steadyBetween: (from: string, to: string): Piece[] => [
    ', steady between ',
    railed(`${from} and ${to}`),
    '.',
  ],
  steadyBy: (to: string): Piece[] => [', steady by ', railed(to), '.'],
  steadyAfter: (from: string): Piece[] => [', steady after ', railed(from), ', perhaps in over a day.'],
  steadyBeyond: ' and needs more than a day to be steady.',
  again: ' after its air was disturbed',
  tooEarly: (heated: Spoken | null) =>
    heated === null
      ? '; too early to say when it is steady.'
      : ` after ${duration(heated)} of heat; too early to say when it is steady.`,
  notHeated: ', not heated.',
  cooling: ' and cooling',
  openAbout: (clock: string, band: string): Piece[] => [
    `, cool enough to open at about ${clock} `,
    soft(band),
    '.',
  ],
  openBy: (clock: string) => `, cool enough to open by ${clock}.`,
  openAfter: (clock: string, open: Open) => `, cool enough to open after ${clock}${PERHAPS[open]}.`,
  openBeyond: ' and needs more than a day to be cool enough to open.',
  openSince: (clock: string) => `, cool enough to open since ${clock}.`,
  stop: '.',
  steadySince: (where: string, clock: string): Piece[] => [
    `${capital(where)} has been steady since ${clock}.`,
  ],
  notKnown: (where: string) => `How warm ${where} is cannot be told.`,

  /** Headings where the chamber leads. */
  notYetAbout: (where: string, clock: string, band: string): Piece[] => [
    `Not yet. ${capital(where)} is steady at about `,
    railed(clock),
    ' ',
    soft(band),
    '.',
  ],
  notYetBetween: (where: string, from: string, to: string): Piece[] => [
    `Not yet. ${capital(where)} is steady between `,
    railed(`${from} and ${to}`),
    '.',
  ],
  notYetBy: (where: string, to: string): Piece[] => [
    `Not yet. ${capital(where)} is steady by `,
    railed(to),
    '.',
  ],
  notYetAfter: (where: string, from: string): Piece[] => [
    `Not yet. ${capital(where)} is steady after `,
    railed(from),
    '.',
  ],
  notYetBeyond: (where: string) => `Not yet. ${capital(where)} needs more than a day.`,
  tooEarlyHead: (where: string) => `Too early to say when ${where} is steady.`,
  isCooling: (where: string) => `${capital(where)} is cooling.`,
  coolEnough: (where: string) => `${capital(where)} is cool enough to open.`,
  ends: (air: string, final: string, band: string): Piece[] => [
    `It is at ${air} and ends near ${final} `,
    soft(band),
    '.',
  ],
  heldNear: (air: string, band: string, final: string): Piece[] => [
    `It is at ${air}, within ${band} of the ${final} that it ends at.`,
  ],
  justAt: (air: string) => `It is at ${air}.`,
  heatedFor: (heated: Spoken, air: string) => `It has been heated for ${duration(heated)} and is at ${air}`,
  firstRange: (clock: string) => `; a first range comes at about ${clock}.`,
  disturbed: ' A door, fan or vent has moved its air; steady is judged anew.',
  opensAbout: (clock: string, band: string): Piece[] => [
    ` It is cool enough to open at about ${clock} `,
    soft(band),
    '.',
  ],
  opensBy: (clock: string) => ` It is cool enough to open by ${clock}.`,
  opensAfter: (clock: string, open: Open) => ` It is cool enough to open after ${clock}${PERHAPS[open]}.`,
  opensBeyond: ' It needs more than a day to be cool enough to open.',
} as const;

const CEILING_OUTCOMES: Record<Ceiling['outcome'], string> = {
  clear: 'Below its ceiling',
  near: 'Near its ceiling',
  'near-ahead': 'May come near its ceiling',
  passed: 'Has passed its ceiling',
  'cannot-tell': 'Ceiling not known',
};

export const CEILING = {
  passed: (where: string, ceiling: string) => `${capital(where)} has passed its ceiling of ${ceiling}.`,
  passedTell: (whose: string | null, air: string) =>
    `It is at ${air}${whose === null ? '' : ` (ceiling of: ${whose})`}. Turn the heat down.`,
  ahead: (where: string, clock: string) => `${capital(where)} will pass its ceiling at about ${clock}.`,
  aheadTell: (ceiling: string, whose: string | null, air: string) =>
    `That is ${ceiling}${whose === null ? '' : ` (${whose})`}; it is at ${air} and rising.`,
  lower: (by: string) => ` Turn the heat down until it ends at least ${by} lower.`,
  mayComeNear: (where: string, ceiling: string, whose: string | null) =>
    `${capital(where)} may come near its ceiling of ${ceiling}${whose === null ? '' : ` (${whose})`}.`,
  isNear: (where: string, ceiling: string, whose: string | null) =>
    `${capital(where)} is near its ceiling of ${ceiling}${whose === null ? '' : ` (${whose})`}.`,

  /** In a station's row. */
  row: (outcome: Ceiling['outcome'], value: string | null, whose: string | null) =>
    value === null
      ? CEILING_OUTCOMES[outcome]
      : `${CEILING_OUTCOMES[outcome]} of ${value}${whose === null ? '' : ` (${whose})`}`,
  end: '.',
  unknown: 'Ceiling not known: nothing that stands inside is listed.',
  noAir: 'Ceiling: no air temperature to hold against it.',
  crosses: (clock: string) => `, passed at about ${clock}`,
  hotter: (value: string) => `Material and reel would bear drying up to ${value}.`,
  atLimit: 'Hotter is not advised: it is at what material and reel bear.',
  reelUnknown: 'Hotter is not advised: the reel is of unknown kind.',
  materialUnknown: 'Hotter is not advised: the material is not known.',
} as const;
