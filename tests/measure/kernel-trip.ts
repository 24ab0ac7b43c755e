/** The drying model's members as plain doubles, and a program in C that runs the same ones. */
import { execFileSync, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Forcing } from '../../server/estimators/drying/forcing.ts';
import type { ModelState } from '../../server/estimators/drying/model.ts';
import type { Workbench } from '../../server/estimators/drying/simulate.ts';
import {
  TABLE_COLUMNS,
  TABLE_HIGHEST_C,
  TABLE_LOWEST_C,
  TABLE_STEPS_PER_C,
} from '../../server/estimators/drying/thermal-table.ts';
import { CYLINDER_MODES } from '../../server/physics/diffusion.ts';
import { PACK_CONDUCTIVITY_W_PER_M_K, PACK_FILM_W_PER_M2_K } from '../../server/physics/spool-pack.ts';

export const numbersOf = (state: ModelState): number[] => [
  ...state.temperatureC,
  ...state.modes,
  ...state.activity,
  ...state.moisture,
  state.boxGPerM3,
  state.paperOuterG,
  state.paperInnerG,
];

/** Head, table, forcing, supply of each member, then each member, its geometry and its start. */
export function doublesOf(
  table: Float64Array,
  forcing: Forcing,
  supplies: readonly Float64Array[],
  benches: readonly Workbench[],
): Float64Array {
  const { count, lengthS, airC, lidS } = forcing;
  return Float64Array.from([
    ...[benches.length, count, table.length],
    ...table,
    ...[lengthS, airC, lidS, ...supplies].flatMap((column) => [...column]),
    ...benches.flatMap(({ member, kernel, state }) => [
      member.diffusivityScale,
      member.slopeWtPercent,
      member.curvature,
      member.ventM3PerS,
      member.volumeM3,
      member.packScale,
      member.filmScale,
      member.heatScale,
      member.dryMassG,
      member.paperG,
      member.paperLagS,
      ...kernel.shellShare,
      ...kernel.faceM2PerM,
      ...kernel.shellHeatJPerK,
      ...kernel.sideWPerK,
      kernel.depthM,
      kernel.outerAreaM2,
      ...numbersOf(state),
    ]),
  ]);
}

export interface KernelTrip {
  /** Processor time of so many repeats, ns, and every member's end. */
  run(repeats: number): { readonly ns: number; readonly ends: Float64Array };
}

/** Null where there is no compiler. */
export function compileKernel(folder: string, doubles: Float64Array): KernelTrip | null {
  if (spawnSync('gcc', ['--version']).error) return null;
  const program = join(folder, 'kernel');
  const members = join(folder, 'members');
  const constants = {
    TABLE_COLUMNS,
    TABLE_HIGHEST: TABLE_HIGHEST_C,
    TABLE_LOWEST: TABLE_LOWEST_C,
    TABLE_STEPS: TABLE_STEPS_PER_C,
    PACK_CONDUCTIVITY: PACK_CONDUCTIVITY_W_PER_M_K,
    PACK_FILM: PACK_FILM_W_PER_M2_K,
    ...Object.fromEntries(
      CYLINDER_MODES.flatMap(({ share, rate }, i) => [
        [`SHARE${i + 1}`, share],
        [`RATE${i + 1}`, rate],
      ]),
    ),
  };
  execFileSync('gcc', [
    '-O3',
    '-Wall',
    ...Object.entries(constants).map(([name, value]) => `-D${name}=(${value})`),
    // The bundle of this file lies two folders below the project's.
    ...[fileURLToPath(new URL('../../tests/measure/kernel.c', import.meta.url)), '-o', program, '-lm'],
  ]);
  writeFileSync(members, doubles);
  return {
    run(repeats) {
      const said = execFileSync(program, [members, String(repeats)]);
      const [ns, ...ends] = new Float64Array(Uint8Array.from(said).buffer);
      return { ns: ns!, ends: Float64Array.from(ends) };
    },
  };
}
