/** What a station's row says of its ceiling, and whether hotter may be advised. Pure. Alarms are told beside it. */
import type { StationState } from '../server/api/messages.ts';
import { ceilingText } from './ceiling-answer.ts';
import type { Format } from './format.ts';
import { CEILING } from './words/chamber.ts';

/** Nothing of a room, and nothing of a place that is quiet. */
export function ceilingWords(station: StationState, nowMs: number, format: Format): readonly string[] {
  const { ceiling } = station;
  if (!ceiling || station.quiet) return [];
  const { outcome, ceilingC, whose, crossesAtMs, hotter } = ceiling;
  const said: string[] = [];
  if (outcome === 'cannot-tell')
    said.push(ceiling.reason === 'no air temperature' ? CEILING.noAir : CEILING.unknown);
  else {
    const value = ceilingC === null ? null : ceilingText(ceilingC, format);
    const crosses =
      crossesAtMs === null || outcome === 'passed'
        ? ''
        : CEILING.crosses(format.about(Math.max(nowMs, crossesAtMs), nowMs));
    said.push(CEILING.row(outcome, value, whose) + crosses + CEILING.end);
  }
  if (hotter) {
    const { toC } = hotter;
    const text =
      hotter.outcome === 'may-be-hotter' && toC !== null
        ? CEILING.hotter(ceilingText(toC, format))
        : hotter.outcome === 'at-the-limit'
          ? CEILING.atLimit
          : hotter.outcome === 'reel-unknown'
            ? CEILING.reelUnknown
            : hotter.outcome === 'material-unknown'
              ? CEILING.materialUnknown
              : null;
    if (text !== null) said.push(text);
  }
  return said;
}
