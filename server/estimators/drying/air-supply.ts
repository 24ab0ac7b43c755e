/**
 * Where the box's air comes from: as stated, unless the box is surely drier than heated room air could be.
 *
 * Room air heated to the box's temperature has RH_room·p_sat(T_room)/p_sat(T_box); a spool can only add to it. A box an
 * hour below that by more than both sensors' errors together is fed by something drier, whatever was stated.
 */

import type { AirSupply } from '../../physics/floor.ts';
import { type Cells, hasValue } from './history.ts';
import type { DryingSetup } from './priors.ts';
import { reducedSaturationGPerM3 } from './thermal-table.ts';

const SURE_SIGMAS = 3;
const SURE_FOR_S = 3600;
/** Sd of a room humidity where its sensor is, %RH. */
const ROOM_SD_PERCENT = 2;

export function chooseSupply(
  run: { readonly supply: AirSupply; readonly history: { readonly cells: Cells } },
  setup: DryingSetup,
): AirSupply {
  if (setup.airSupply === 'closed' || setup.airSupply === 'desiccant') return setup.airSupply;
  if (run.supply === 'desiccant') return 'desiccant';
  const { cells } = run.history;
  let drierS = 0;
  for (let i = cells.endS.length - 1; i >= 0 && drierS < SURE_FOR_S; i--) {
    const airC = cells.airC[i]!;
    const rh = cells.rhPercent[i]!;
    const roomG = cells.roomGPerM3[i]!;
    const roomC = cells.roomC[i]!;
    if (!hasValue(airC) || !hasValue(rh) || !hasValue(roomG) || cells.masked[i]) continue;
    const boxSaturation = reducedSaturationGPerM3(airC);
    const expected = (100 * roomG) / boxSaturation;
    const roomSd = (ROOM_SD_PERCENT * reducedSaturationGPerM3(roomC)) / boxSaturation;
    const u = Math.hypot(setup.rhTolerancePercent / 1.2, roomSd);
    if (rh > expected - SURE_SIGMAS * u) break;
    drierS += cells.lengthS[i]!;
  }
  return drierS >= SURE_FOR_S ? 'desiccant' : (setup.airSupply ?? 'room');
}
