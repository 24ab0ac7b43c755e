/** A simulated drying run as a tracker hears it: what the drying rows work on. */
import type { DryingSetup } from '../../server/estimators/drying/priors.ts';
import { createDryingTracker, type DryingTracker } from '../../server/estimators/drying/tracker.ts';
import { findMaterial } from '../../server/physics/materials.ts';
import { drawDryingRun } from '../../simulators/drying-draw.ts';
import { dryingSensors } from '../../simulators/drying-sensors.ts';

export const START_MS = Date.UTC(2026, 0, 5, 6, 0, 0);
const READ_S = 10;

export interface HeardRun {
  readonly tracker: DryingTracker;
  readonly setup: DryingSetup;
  /** Hears readings until this time since the start, s, and leaves the tracker just short of a refit then due. */
  hearUntil(elapsedS: number): void;
}

/** A nylon spool at 70 °C on cardboard, lid opened twice: no step of the model is left out. */
export function hearRun(scale: boolean): HeardRun {
  const run = drawDryingRun({
    material: 'pa6',
    setTemperatureC: 70,
    seed: 3,
    reel: 'cardboard',
    durationH: 24,
    lids: [
      { fromS: 9000, toS: 9060 },
      { fromS: 30_000, toS: 30_040 },
    ],
  });
  const found = findMaterial(run.stated.material);
  if (!found.ok) throw new Error(found.detail);
  const setup: DryingSetup = {
    station: 'box',
    spool: 'measured',
    material: found.material,
    limitWtPercent: run.stated.limitWtPercent,
    netMassG: run.stated.netMassG,
    diameterMm: run.stated.diameterMm,
    reel: run.stated.reel,
    reelMassG: run.stated.reelMassG,
    stored: run.stated.stored,
    storedRhPercent: null,
    role: 'drybox',
    airVolumeL: null,
    airSupply: null,
    companions: 0,
    rhTolerancePercent: 1.8,
    temperatureToleranceC: 0.2,
  };
  const sensors = dryingSensors(run);
  const tracker = createDryingTracker(setup, START_MS);
  return {
    tracker,
    setup,
    hearUntil(elapsedS) {
      while (run.truth.elapsedS + READ_S <= elapsedS + 1e-6) {
        const { elapsedS: atS, t, rh, m, tm, roomT, roomRh } = sensors.next(READ_S);
        const atMs = START_MS + 1000 * atS;
        tracker.observeRoom({ atMs, airTemperatureC: roomT, relativeHumidityPercent: roomRh });
        tracker.observeBox({
          atMs,
          airTemperatureC: t,
          relativeHumidityPercent: rh,
          massG: scale ? m : null,
          cellTemperatureC: scale ? tm : null,
        });
      }
    },
  };
}
