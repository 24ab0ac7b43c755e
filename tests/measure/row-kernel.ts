/** One member of the drying model through one step, against the same kernel in C: same inputs, same results. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildForcing } from '../../server/estimators/drying/forcing.ts';
import { createKernel, createModelState, stepModel } from '../../server/estimators/drying/model.ts';
import {
  ASSUMED_ROOM_G_PER_M3,
  createMember,
  createMemberStart,
  type Priors,
} from '../../server/estimators/drying/priors.ts';
import { antitheticNormals, seededUniform } from '../../server/estimators/drying/random.ts';
import { beginMember, supplyOf, type Workbench } from '../../server/estimators/drying/simulate.ts';
import { buildThermalTable, reducedSaturationGPerM3 } from '../../server/estimators/drying/thermal-table.ts';
import { UNKNOWNS } from '../../server/estimators/drying/unknowns.ts';
import { hearRun } from './drying-history.ts';
import { compileKernel, doublesOf, numbersOf } from './kernel-trip.ts';
import { type Measured, median } from './rounds.ts';

const AIM = 6;
const MEMBERS = 32;
const REPEATS = 30;
const ROUNDS = 15;
/** Two libraries' exp and pow differ in the last digit; the model forgets such things, it does not grow them. */
const AGREED = 1e-9;

export async function measureKernel(): Promise<readonly Measured[]> {
  const run = hearRun(false);
  run.hearUntil(12 * 3600 + 900);
  const { tracker, setup } = run;
  const heard = tracker.save().run;
  if (!heard) throw new Error('the run was not noticed');
  const { cells } = heard.history;
  const forcing = buildForcing(cells, ASSUMED_ROOM_G_PER_M3, heard.beforeC, reducedSaturationGPerM3);
  const first = { airC: forcing.airC[0]!, rhPercent: cells.rhPercent[0]! };
  const { material, diameterMm } = setup;
  const table = buildThermalTable(material, diameterMm);
  const normals = antitheticNormals(seededUniform('members'), MEMBERS, UNKNOWNS.length);
  const benches = Array.from({ length: MEMBERS }, (_, m): Workbench => {
    const priors: Priors = {
      // Half of them on plastic: a reel that holds no water takes a shorter way through the step.
      setup: m % 2 === 0 ? setup : { ...setup, reel: 'plastic', reelMassG: 0 },
      supply: 'room',
      warmStart: false,
      carried: null,
      roomKnown: true,
      learnedMean: new Array<number>(UNKNOWNS.length).fill(0),
      learnedSd: new Array<number>(UNKNOWNS.length).fill(1),
    };
    const bench = {
      priors,
      kernel: createKernel(table, material.densityKgPerM3, material.specificHeatJPerKgK),
      member: createMember(),
      start: createMemberStart(),
      state: createModelState(),
    };
    beginMember(bench, normals.subarray(m * UNKNOWNS.length, (m + 1) * UNKNOWNS.length), forcing, first);
    return bench;
  });
  const supplies = benches.map(({ start }) => forcing.roomGPerM3.map((room) => supplyOf(start, room)));
  const doubles = doublesOf(table, forcing, supplies, benches);
  const state = createModelState();
  const runMember = (m: number): void => {
    const { kernel, member, state: begun } = benches[m]!;
    const supply = supplies[m]!;
    state.temperatureC.set(begun.temperatureC);
    state.modes.set(begun.modes);
    state.activity.set(begun.activity);
    state.moisture.set(begun.moisture);
    state.boxGPerM3 = begun.boxGPerM3;
    state.paperOuterG = begun.paperOuterG;
    state.paperInnerG = begun.paperInnerG;
    for (let i = 0; i < forcing.count; i++)
      stepModel(kernel, member, state, forcing.lengthS[i]!, forcing.airC[i]!, supply[i]!, forcing.lidS[i]!);
  };
  const steps = REPEATS * MEMBERS * forcing.count;
  const ours = (): number => {
    const before = process.cpuUsage();
    for (let repeat = 0; repeat < REPEATS; repeat++) for (let m = 0; m < MEMBERS; m++) runMember(m);
    const { user, system } = process.cpuUsage(before);
    return (user + system) / steps;
  };
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-measure-'));
  try {
    const trip = compileKernel(folder, doubles);
    if (trip) {
      const { ends } = trip.run(1);
      const own = benches.flatMap((_, m) => {
        runMember(m);
        return numbersOf(state);
      });
      checkAgreement(own, ends);
    }
    ours();
    const pairs = Array.from({ length: ROUNDS }, () => [
      ours(),
      trip ? trip.run(REPEATS).ns / 1000 / steps : Number.NaN,
    ]) as [number, number][];
    const value = median(pairs.map(([us]) => us));
    const ratio = trip ? median(pairs.map(([us, c]) => us / c)) : null;
    return [
      {
        name: 'drying model, member-step',
        value,
        unit: 'µs',
        yardstick: trip
          ? `the same in C, -O3: ${median(pairs.map(([, c]) => c)).toPrecision(3)} µs`
          : 'none: no gcc on this machine',
        ratio,
        aim: `≤ ${AIM}`,
        met: ratio !== null && ratio <= AIM,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function checkAgreement(own: readonly number[], theirs: Float64Array): void {
  if (own.length !== theirs.length) throw new Error(`${own.length} numbers here, ${theirs.length} in C`);
  own.forEach((value, i) => {
    const apart = Math.abs(value - theirs[i]!);
    if (!(apart <= AGREED * Math.max(Math.abs(value), 1e-12)))
      throw new Error(`number ${i} of the kernel: ${value} here, ${theirs[i]} in C`);
  });
}
