/** The blanks of a question as the bench stands now, in the page's unit: the spool looked at, its box, the room. Pure. */
import type { BenchState } from '../bench-state.ts';
import { fixed } from '../format.ts';
import type { Asked } from '../words/planner.ts';

/** Cooler than this a box is not heated, and says nothing about a drying temperature. */
const HEATED_C = 35;

export function fromBench(state: BenchState, kind: Asked): Readonly<Record<string, string>> | null {
  const { room, box } = state.cast.value;
  const spool = state.spool.value;
  const shown = state.format.value.shownTemperature;
  const filled: Record<string, string> = {};
  const { t, rh } = room && !room.quiet ? room.values : {};
  if (kind === 'air') {
    if (t === undefined || rh === undefined) return null;
    filled['airTemperatureC'] = fixed(shown(t), 1);
    filled['relativeHumidityPercent'] = fixed(rh, 0);
    return filled;
  }
  if (t !== undefined) filled['roomC'] = fixed(shown(t), 1);
  if (rh !== undefined) filled['roomRhPercent'] = fixed(rh, 0);
  if (spool?.drying) {
    filled['material'] = spool.materialKey;
    if (kind !== 'fit') {
      filled['netMassG'] = fixed(spool.netMassG, 0);
      filled['startWtPercent'] = fixed(spool.drying.moistureWtPercent.p50, 2);
      if (spool.limitKind === 'own') filled['limitWtPercent'] = String(spool.limitWtPercent);
    }
    if (kind === 'dry') filled['stored'] = 'weighed';
  }
  const boxC = box && !box.quiet ? box.values['t'] : undefined;
  if (kind === 'dry' && boxC !== undefined && boxC > HEATED_C) filled['boxC'] = fixed(shown(boxC), 0);
  return Object.keys(filled).length === 0 ? null : filled;
}
