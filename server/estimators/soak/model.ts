/**
 * The reduced model of a heated chamber: three slow nodes beside air that follows at once.
 *
 * Letters: T_a air, T_b bed, T_r room, °C; nodes i: w near walls and light metal (minutes), f frame, s what stands behind it,
 * floor and heavy parts (hours). Conductances over that from air to walls, so that only ratios are left: g_b bed, g_o leak to the
 * room, g_i (g_w = 1); l_i loss of a node to the room over its own conductance to the air; τ_i = heat over that conductance, s.
 *
 * Air without heat of its own: T_a = (g_b·T_b + g_o·T_r + Σ g_i·c_i·T_i)/(g_b + g_o + Σ g_i·c_i).
 * Nodes: τ_i·dT_i/dt = c_i·(T_a − T_i) − l_i·(T_i − T_r); by natural convection c = (|T_a − T_i|/20 K)^¼ for frame and floor
 * (laminar, any heat-transfer text), so that their last degrees take long, and 1 for the walls.
 *
 * Three, as with two the fit was as close (residuals of 0.02 °C) and its end 0.15 °C low: a sum of more exponentials than were
 * fitted has more to come than the fit says. Near a call the third took the error of what is to come from 0.16 to 0.12 °C.
 */

export interface Chamber {
  bed: number;
  leak: number;
  frame: number;
  floor: number;
  wallLoss: number;
  frameLoss: number;
  floorLoss: number;
  wallTimeS: number;
  frameTimeS: number;
  floorTimeS: number;
}

/** Temperatures of the nodes that store heat, °C. */
export interface SlowNodes {
  wallC: number;
  frameC: number;
  floorC: number;
}

export interface Nodes extends SlowNodes {
  airC: number;
}

export const createChamber = (): Chamber => ({
  bed: 0,
  leak: 0,
  frame: 0,
  floor: 0,
  wallLoss: 0,
  frameLoss: 0,
  floorLoss: 0,
  wallTimeS: 1,
  frameTimeS: 1,
  floorTimeS: 1,
});

/** Stated conductance to frame and floor is that at this difference; natural convection follows its fourth root. */
const STATED_AT_K = 20;
/** Air never stands quite still: a part of the conductance stays. */
const LEAST_CONVECTION = 0.5;
export const convection = (differenceK: number): number =>
  Math.max(LEAST_CONVECTION, Math.sqrt(Math.sqrt(Math.abs(differenceK) / STATED_AT_K)));

/** Air that belongs to these nodes with this bed and room; convection is that of the air before. */
export function airOf(chamber: Chamber, nodes: Nodes, bedC: number, roomC: number): number {
  const { bed, leak } = chamber;
  const frame = chamber.frame * convection(nodes.airC - nodes.frameC);
  const floor = chamber.floor * convection(nodes.airC - nodes.floorC);
  return (
    (bed * bedC + leak * roomC + nodes.wallC + frame * nodes.frameC + floor * nodes.floorC) /
    (bed + leak + 1 + frame + floor)
  );
}

/**
 * One step by the trapezoid rule, second order, stable at any step; the bed is taken as constant over it. The air left in `nodes`
 * is that of the step's end. Each node's end is a straight line in the end of the air, which meets the others in the air alone.
 */
export function stepChamber(chamber: Chamber, nodes: Nodes, dtS: number, bedC: number, roomC: number): void {
  const { bed, leak, wallLoss, frameLoss, floorLoss } = chamber;
  const { wallC, frameC, floorC } = nodes;
  const cf = convection(nodes.airC - frameC);
  const cs = convection(nodes.airC - floorC);
  const frame = chamber.frame * cf;
  const floor = chamber.floor * cs;
  const sum = bed + leak + 1 + frame + floor;
  const source = bed * bedC + leak * roomC;
  const startC = (source + wallC + frame * frameC + floor * floorC) / sum;
  const w = (0.5 * dtS) / chamber.wallTimeS;
  const f = (0.5 * dtS) / chamber.frameTimeS;
  const s = (0.5 * dtS) / chamber.floorTimeS;
  // T_i⁺ = fixed_i + slope_i·T_a⁺
  const wallKeep = w * (1 + wallLoss);
  const frameKeep = f * (cf + frameLoss);
  const floorKeep = s * (cs + floorLoss);
  const wallSlope = w / (1 + wallKeep);
  const frameSlope = (f * cf) / (1 + frameKeep);
  const floorSlope = (s * cs) / (1 + floorKeep);
  const wallFixed = (wallC * (1 - wallKeep) + 2 * w * wallLoss * roomC) / (1 + wallKeep) + wallSlope * startC;
  const frameFixed =
    (frameC * (1 - frameKeep) + 2 * f * frameLoss * roomC) / (1 + frameKeep) + frameSlope * startC;
  const floorFixed =
    (floorC * (1 - floorKeep) + 2 * s * floorLoss * roomC) / (1 + floorKeep) + floorSlope * startC;
  const endC =
    (source + wallFixed + frame * frameFixed + floor * floorFixed) /
    (sum - wallSlope - frame * frameSlope - floor * floorSlope);
  nodes.wallC = wallFixed + wallSlope * endC;
  nodes.frameC = frameFixed + frameSlope * endC;
  nodes.floorC = floorFixed + floorSlope * endC;
  nodes.airC = endC;
}

/** A step in which the air is what was measured: an open door is no part of the model. */
export function stepForced(chamber: Chamber, nodes: Nodes, dtS: number, airC: number, roomC: number): void {
  const relax = (before: number, c: number, loss: number, timeS: number): number => {
    const target = (c * airC + loss * roomC) / (c + loss);
    return target + (before - target) * Math.exp((-dtS * (c + loss)) / timeS);
  };
  const { wallC, frameC, floorC } = nodes;
  nodes.wallC = relax(wallC, 1, chamber.wallLoss, chamber.wallTimeS);
  nodes.frameC = relax(frameC, convection(airC - frameC), chamber.frameLoss, chamber.frameTimeS);
  nodes.floorC = relax(floorC, convection(airC - floorC), chamber.floorLoss, chamber.floorTimeS);
  nodes.airC = airC;
}

/** Where all ends if bed and room stay: each slow node then carries heat to the room through both its conductances. */
export function finalNodes(chamber: Chamber, bedC: number, roomC: number): Nodes {
  const { bed, leak, wallLoss, frameLoss, floorLoss } = chamber;
  let cf = 1;
  let cs = 1;
  let airC = roomC;
  let frameC = roomC;
  let floorC = roomC;
  // The convection depends on the end it leads to: a few turns settle it to hundredths.
  for (let turn = 0; turn < 6; turn++) {
    const outwards =
      leak +
      wallLoss / (1 + wallLoss) +
      (chamber.frame * cf * frameLoss) / (cf + frameLoss) +
      (chamber.floor * cs * floorLoss) / (cs + floorLoss);
    airC = (bed * bedC + outwards * roomC) / (bed + outwards);
    frameC = (cf * airC + frameLoss * roomC) / (cf + frameLoss);
    floorC = (cs * airC + floorLoss * roomC) / (cs + floorLoss);
    cf = convection(airC - frameC);
    cs = convection(airC - floorC);
  }
  return { airC, wallC: (airC + wallLoss * roomC) / (1 + wallLoss), frameC, floorC };
}
