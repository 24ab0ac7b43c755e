/** Every station's ceiling: what stands in it, what it has heard, and for a chamber where its air is heading. */
import type { BenchConfig, SpoolConfig, StationConfig } from '../config/bench.ts';
import {
  adviseHotter,
  type CeilingOutcome,
  type DryerFacts,
  type HotterFinding,
  type Inside,
  judgeCeiling,
  judgeDryer,
} from '../estimators/ceilings.ts';
import type { SoakEstimate } from '../estimators/soak/estimate.ts';
import { findMaterial } from '../physics/materials.ts';

export interface CeilingView {
  readonly station: string;
  readonly outcome: CeilingOutcome;
  /** Null where it cannot be told. */
  readonly ceilingC: number | null;
  /** Whose ceiling it is; null where it cannot be told. */
  readonly whose: string | null;
  /** What was found, and why; for a person. */
  readonly reason: string;
  /** When the likeliest path crosses it; null: it does not, or there is no forecast. */
  readonly crossesAtMs: number | null;
  /** Of a box with a spool: whether drying hotter may be advised; null elsewhere. */
  readonly hotter: HotterFinding | null;
}

export interface CeilingFacts {
  /** Air heard lately, °C; null otherwise. */
  airC(station: string): number | null;
  /** Sensor parts named in the hellos of the station's boards. */
  parts(station: string): readonly string[];
  readonly soak: readonly SoakEstimate[];
}

/** A mixture of kinds: what it bears is not known. */
const MIXED_MATERIAL = 'pa_unknown';

export function judgeStations(bench: BenchConfig, facts: CeilingFacts): ReadonlyMap<string, CeilingView> {
  const views = new Map<string, CeilingView>();
  for (const station of bench.stations) {
    if (station.role === 'room') continue;
    const spools = bench.spools.filter((spool) => spool.station === station.id);
    const inside = insideOf(station, spools, facts.parts(station.id));
    const view =
      station.role === 'drybox'
        ? judgeBox(station, spools, inside, facts)
        : judgeOther(station, inside, facts);
    views.set(station.id, view);
  }
  return views;
}

function insideOf(
  station: StationConfig,
  spools: readonly SpoolConfig[],
  sensorParts: readonly string[],
): Inside {
  const reels = spools.map(({ reel }) => reel);
  return {
    things: station.role === 'electronics' ? ['electronics', ...station.inside] : station.inside,
    userCeilingC: station.ceilingC,
    // The reel that bears least.
    reel: (['unknown', 'cardboard', 'plastic'] as const).find((reel) => reels.includes(reel)) ?? null,
    sensorParts,
  };
}

function judgeOther(station: StationConfig, inside: Inside, facts: CeilingFacts): CeilingView {
  const airC = facts.airC(station.id);
  const soak = facts.soak.find((estimate) => estimate.station === station.id);
  const heating = soak !== undefined && soak.state !== 'cooling' && soak.state !== 'unknown';
  const finding = judgeCeiling(
    inside,
    airC === null
      ? null
      : {
          airC,
          finalP95C: heating ? (soak.finalAirC?.p95 ?? null) : null,
          path: heating ? soak.forecast : [],
        },
  );
  return {
    station: station.id,
    outcome: finding.outcome,
    ceilingC: finding.rating?.ceilingC ?? null,
    whose: finding.rating?.name ?? null,
    reason: finding.reason,
    crossesAtMs: finding.crossesAtMs,
    hotter: null,
  };
}

/** Alarms ask every ten seconds; what a spool is made of does not change. */
const materials = new WeakMap<SpoolConfig, ReturnType<typeof findMaterial>>();
function materialOf(spool: SpoolConfig): ReturnType<typeof findMaterial> {
  const known = materials.get(spool);
  if (known) return known;
  const looked = findMaterial(spool.material, spool.fibreWtPercent);
  materials.set(spool, looked);
  return looked;
}

/** A dryer is held against what its spools' materials are dried at as well. */
function judgeBox(
  station: StationConfig,
  spools: readonly SpoolConfig[],
  inside: Inside,
  facts: CeilingFacts,
): CeilingView {
  const airC = facts.airC(station.id);
  const materials = spools.flatMap((spool) => {
    const found = materialOf(spool);
    return found.ok ? [{ key: spool.material, material: found.material }] : [];
  });
  const tenderest = materials.reduce<(typeof materials)[number] | null>(
    (least, one) =>
      least === null || one.material.highestDryingC < least.material.highestDryingC ? one : least,
    null,
  );
  const dryer: DryerFacts = {
    airC,
    highestDryingC: tenderest?.material.highestDryingC ?? null,
    materialName: tenderest?.material.name ?? 'the material',
    inside,
  };
  const finding = judgeDryer(dryer);
  const outcome: CeilingOutcome =
    finding.outcome === 'too-hot-for-material' || finding.outcome === 'too-hot-inside'
      ? 'passed'
      : finding.outcome;
  return {
    station: station.id,
    outcome,
    ceilingC: finding.limitC,
    whose: finding.whose,
    reason: finding.reason,
    crossesAtMs: null,
    hotter:
      tenderest === null
        ? null
        : adviseHotter({
            ...dryer,
            highestDryingC: tenderest.key === MIXED_MATERIAL ? null : dryer.highestDryingC,
          }),
  };
}
