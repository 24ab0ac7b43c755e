/**
 * The reduced model of a heated chamber: two slow nodes beside air that follows at once.
 *
 * Letters: T_a air, T_b bed, T_w near walls and light metal (minutes), T_f heavy frame and floor (hours), T_r room, °C.
 * Conductances over that from air to walls, so that only ratios are left: g_b bed, g_o leak to the room, g_f frame;
 * l_w, l_f loss of a slow node to the room over its own conductance to the air; τ_w, τ_f = heat over that conductance, s.
 *
 * Air without heat of its own: T_a = (g_b·T_b + g_o·T_r + T_w + g_f·T_f)/(g_b + g_o + 1 + g_f).
 * Slow nodes: τ·dT/dt = T_a − T − l·(T − T_r), the frame's first term by natural convection, c = (|T_a − T_f|/20 K)^¼ (laminar,
 * any heat-transfer text), so that its last degrees take long. Stepped by the trapezoid rule, second order, stable at any step.
 */

export interface Chamber {
  bed: number;
  leak: number;
  frame: number;
  wallLoss: number;
  frameLoss: number;
  wallTimeS: number;
  frameTimeS: number;
}

export interface Nodes {
  airC: number;
  wallC: number;
  frameC: number;
}

export const createChamber = (): Chamber => ({
  bed: 0,
  leak: 0,
  frame: 0,
  wallLoss: 0,
  frameLoss: 0,
  wallTimeS: 1,
  frameTimeS: 1,
});

/** Stated conductance to the frame is that at this difference; natural convection follows its fourth root. */
const STATED_AT_K = 20;
/** Air never stands quite still: a part of the conductance stays. */
const LEAST_CONVECTION = 0.5;
export const convection = (differenceK: number): number =>
  Math.max(LEAST_CONVECTION, Math.sqrt(Math.sqrt(Math.abs(differenceK) / STATED_AT_K)));

/** Air that belongs to these nodes with this bed and room; the frame's convection is that of the air before. */
export function airOf(chamber: Chamber, nodes: Nodes, bedC: number, roomC: number): number {
  const { bed, leak } = chamber;
  const frame = chamber.frame * convection(nodes.airC - nodes.frameC);
  return (bed * bedC + leak * roomC + nodes.wallC + frame * nodes.frameC) / (bed + leak + 1 + frame);
}

/** One step; the bed is taken as constant over it. The air left in `nodes` is that of the step's end. */
export function stepChamber(chamber: Chamber, nodes: Nodes, dtS: number, bedC: number, roomC: number): void {
  const { bed, leak, wallLoss, frameLoss } = chamber;
  const c = convection(nodes.airC - nodes.frameC);
  const frame = chamber.frame * c;
  const perSum = 1 / (bed + leak + 1 + frame);
  const source = perSum * (bed * bedC + leak * roomC);
  const w = (0.5 * dtS) / chamber.wallTimeS;
  const f = (0.5 * dtS) / chamber.frameTimeS;
  // Rates of the two nodes: M·T + s, each row times half a step.
  const ww = w * (perSum - 1 - wallLoss);
  const wf = w * perSum * frame;
  const fw = f * c * perSum;
  const ff = f * (c * (perSum * frame - 1) - frameLoss);
  const ws = w * (source + wallLoss * roomC);
  const fs = f * (c * source + frameLoss * roomC);
  const { wallC, frameC } = nodes;
  const right1 = wallC * (1 + ww) + wf * frameC + 2 * ws;
  const right2 = frameC * (1 + ff) + fw * wallC + 2 * fs;
  const determinant = (1 - ww) * (1 - ff) - wf * fw;
  nodes.wallC = (right1 * (1 - ff) + wf * right2) / determinant;
  nodes.frameC = (right2 * (1 - ww) + fw * right1) / determinant;
  nodes.airC = source + perSum * (nodes.wallC + frame * nodes.frameC);
}

/** A step in which the air is what was measured: an open door is no part of the model. */
export function stepForced(chamber: Chamber, nodes: Nodes, dtS: number, airC: number, roomC: number): void {
  const relax = (before: number, c: number, loss: number, timeS: number): number => {
    const target = (c * airC + loss * roomC) / (c + loss);
    return target + (before - target) * Math.exp((-dtS * (c + loss)) / timeS);
  };
  const c = convection(airC - nodes.frameC);
  nodes.wallC = relax(nodes.wallC, 1, chamber.wallLoss, chamber.wallTimeS);
  nodes.frameC = relax(nodes.frameC, c, chamber.frameLoss, chamber.frameTimeS);
  nodes.airC = airC;
}

/** Where all ends if bed and room stay: each slow node then carries heat to the room through both its conductances. */
export function finalNodes(chamber: Chamber, bedC: number, roomC: number): Nodes {
  const { bed, leak, wallLoss, frameLoss } = chamber;
  let c = 1;
  let airC = roomC;
  let frameC = roomC;
  // The convection depends on the end it leads to: a few turns settle it to hundredths.
  for (let turn = 0; turn < 6; turn++) {
    const frame = chamber.frame * c;
    const outwards = leak + wallLoss / (1 + wallLoss) + (frame * frameLoss) / (c + frameLoss);
    airC = (bed * bedC + outwards * roomC) / (bed + outwards);
    frameC = (c * airC + frameLoss * roomC) / (c + frameLoss);
    c = convection(airC - frameC);
  }
  return { airC, wallC: (airC + wallLoss * roomC) / (1 + wallLoss), frameC };
}
