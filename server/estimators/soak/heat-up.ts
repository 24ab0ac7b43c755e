/** When a chamber would be steady if its bed came on: from its last undisturbed heat-up, else from what chambers are like. */
import { BEYOND } from '../drying/quantiles.ts';
import { createBlocks } from './blocks.ts';
import { DRAWS, drawAhead, seedOf, standardDraws } from './draws.ts';
import { ASSUMED_ROOM_C, activeUnknowns, PRIOR, type SoakFrame, type SoakSetup } from './priors.ts';
import { buildForcing } from './simulate.ts';
import type { SoakState } from './state.ts';

/** Draw by draw. */
export interface ChamberAhead {
  /** What the draws rest on. */
  readonly basis: 'heating' | 'earlier-heat-up' | 'prior';
  /** s until steady: from `fromMs` while heating, else from the bed's start. BEYOND: not within a day. */
  readonly steadyInS: readonly number[];
  readonly fromMs: number;
  /** Where the air ends; null where only the prior speaks, for the bed's target is not known then. */
  readonly finalAirC: readonly number[] | null;
}

/** A heat-up is like the last one within this, sd of ln of its time. */
const ALIKE = 0.08;

export function chamberAhead(setup: SoakSetup, state: SoakState, atMs: number): ChamberAhead {
  const { run, learned } = state;
  if (run?.summary && run.offBlock === null)
    return {
      basis: 'heating',
      steadyInS: run.summary.steadyDrawsS,
      fromMs: run.summaryMs,
      finalAirC: run.summary.finalDrawsC,
    };
  const standard = standardDraws(seedOf(setup.station, 0));
  if (learned)
    return {
      basis: 'earlier-heat-up',
      steadyInS: learned.steadyS.map((s, d) =>
        s >= BEYOND ? s : s * Math.exp(ALIKE * standard[d * (standard.length / DRAWS)]!),
      ),
      fromMs: atMs,
      finalAirC: learned.finalAirC,
    };
  return { basis: 'prior', steadyInS: priorSteadyS(setup, standard), fromMs: atMs, finalAirC: null };
}

function priorSteadyS(setup: SoakSetup, standard: Float64Array): number[] {
  const frame: SoakFrame = {
    bedMeasured: false,
    roomMeasured: false,
    warmStart: false,
    carried: null,
    ramped: true,
    changes: 0,
  };
  const active = activeUnknowns(frame);
  const n = active.length;
  const lower = Float64Array.from({ length: n * n }, (_, at) => (at % (n + 1) === 0 ? 1 : 0));
  const answers = drawAhead({
    blocks: createBlocks(),
    forcing: buildForcing(createBlocks(), ASSUMED_ROOM_C, ASSUMED_ROOM_C, [], null),
    frame,
    active,
    centre: new Float64Array(n),
    lower,
    standard,
    bandC: setup.readyBandC,
    anchorC: ASSUMED_ROOM_C,
    meanSquare: 1,
    opening: { openBelowC: 0, surfaceC: null, minutes: [] },
    offMs: 0,
  });
  // The bed's own way up comes first.
  return Array.from(answers.steadyInS, (s) => (s >= BEYOND ? s : s + PRIOR.bedRampS[0]));
}
