import { describe, expect, it } from 'vitest';
import type { DryingSetup } from '../../../server/estimators/drying/priors.ts';
import { createDryingTracker, type DryingTracker } from '../../../server/estimators/drying/tracker.ts';
import { findMaterial } from '../../../server/physics/materials.ts';
import { saturationPressurePa } from '../../../server/physics/saturation.ts';

const START = Date.UTC(2026, 2, 2, 7, 0, 0);
const H = 3600;

function setup(over: Partial<DryingSetup> = {}): DryingSetup {
  const found = findMaterial('petg');
  if (!found.ok) throw new Error(found.detail);
  return {
    station: 'box',
    spool: 'gear',
    material: found.material,
    limitWtPercent: 0.08,
    netMassG: 800,
    diameterMm: 1.75,
    reel: 'plastic',
    reelMassG: null,
    stored: 'room',
    storedRhPercent: null,
    role: 'drybox',
    airVolumeL: null,
    airSupply: null,
    companions: 0,
    rhTolerancePercent: 1.8,
    temperatureToleranceC: 0.2,
    ...over,
  };
}

/** A day in a box: cold, heated from half an hour on, a fading excess over the room's vapour. Made by hand. */
const airC = (s: number): number => (s < 1800 ? 22 : 22 + 43 * (1 - Math.exp(-(s - 1800) / 700)));
const rh = (s: number): number => {
  const room = 0.45 * saturationPressurePa(22);
  const excess = s < 1800 ? 0 : 350 * (1 - Math.exp(-(s - 1800) / 1500)) * Math.exp(-(s - 1800) / 20_000);
  return (100 * (room + excess)) / saturationPressurePa(airC(s));
};

interface Feed {
  readonly tickS?: number;
  readonly skip?: (s: number) => boolean;
  readonly bend?: (s: number, t: number) => number;
  readonly room?: boolean;
}

function feed(tracker: DryingTracker, fromS: number, toS: number, how: Feed = {}): void {
  for (let s = fromS; s <= toS; s += 30) {
    const atMs = START + 1000 * s;
    if (how.room !== false && s % 300 === 0)
      tracker.observeRoom({ atMs, airTemperatureC: 22, relativeHumidityPercent: 45 });
    if (!how.skip?.(s)) {
      const t = how.bend?.(s, airC(s)) ?? airC(s);
      tracker.observeBox({ atMs, airTemperatureC: t, relativeHumidityPercent: rh(s) });
    }
    if (s % (how.tickS ?? 600) === 0) tracker.advance(atMs);
  }
}

const at = (s: number): number => START + 1000 * s;

describe('a drying run', () => {
  it('starts by itself when heating is seen, at the time it began', () => {
    const tracker = createDryingTracker(setup(), START);
    feed(tracker, 0, 1500);
    expect(tracker.advance(at(1501)).state).toBe('holding');
    feed(tracker, 1530, 2 * H);
    const estimate = tracker.advance(at(2 * H + 1));
    expect(estimate.state).toMatch(/warming|drying/);
    expect(Math.abs(estimate.runStartMs! - at(1800))).toBeLessThanOrEqual(120_000);
    expect(estimate.moistureWtPercent.p05).toBeLessThan(estimate.moistureWtPercent.p50);
    expect(estimate.profileWtPercent).toHaveLength(6);
    expect(estimate.forecast.length).toBeLessThanOrEqual(60);
    expect(estimate.assumptions.join(' ')).toContain('20–65 %RH');
  });

  it('gives the same numbers whatever the rhythm of ticks', () => {
    const seldom = createDryingTracker(setup(), START);
    const often = createDryingTracker(setup(), START);
    feed(seldom, 0, 2.5 * H, { tickS: 1800 });
    feed(often, 0, 2.5 * H, { tickS: 30 });
    expect(often.advance(at(2.5 * H + 5))).toEqual(seldom.advance(at(2.5 * H + 5)));
  });

  it('goes on from its saved state as if nothing had happened', () => {
    const whole = createDryingTracker(setup(), START);
    const first = createDryingTracker(setup(), START);
    feed(whole, 0, 2.5 * H);
    feed(first, 0, 1.2 * H);
    const saved = JSON.parse(JSON.stringify(first.save())) as ReturnType<DryingTracker['save']>;
    const second = createDryingTracker(setup(), at(9 * H), saved);
    feed(second, 1.2 * H + 30, 2.5 * H);
    expect(second.advance(at(2.5 * H + 5))).toEqual(whole.advance(at(2.5 * H + 5)));
  });

  it('changes when one reading moves by a degree', () => {
    const plain = createDryingTracker(setup(), START);
    const moved = createDryingTracker(setup(), START);
    feed(plain, 0, 2 * H);
    feed(moved, 0, 2 * H, { bend: (s, t) => (s === 4500 ? t + 1 : t) });
    const ask = (tracker: DryingTracker) => tracker.advance(at(2 * H + 5)).moistureWtPercent.p50;
    expect(ask(moved)).not.toBe(ask(plain));
  });

  it('survives a gap of hours and says unknown in it', () => {
    const tracker = createDryingTracker(setup(), START);
    feed(tracker, 0, 2 * H);
    expect(tracker.advance(at(3 * H)).state).toBe('unknown');
    feed(tracker, 6 * H, 7 * H);
    const after = tracker.advance(at(7 * H + 1));
    expect(after.state).toMatch(/drying|levelling|dry/);
    expect(after.runStartMs).toBe(tracker.save().run!.startMs);
    expect(Number.isFinite(after.moistureWtPercent.p95)).toBe(true);
  });

  it('starts a second run from what the first left', () => {
    const tracker = createDryingTracker(setup(), START);
    const cooled = (s: number, t: number): number => (s > 5 * H && s < 13 * H ? 22 : t);
    feed(tracker, 0, 16 * H, { bend: cooled });
    const estimate = tracker.advance(at(16 * H + 1));
    expect(estimate.runStartMs).toBeGreaterThan(at(12.5 * H));
    expect(estimate.assumptions[0]).toContain('last run');
    expect(tracker.save().learnedSd.some((sd) => sd < 0.95)).toBe(true);
  });

  it('keeps quiet of a run while the spool is out, and knows it again when it is back', () => {
    const tracker = createDryingTracker(setup(), START);
    feed(tracker, 0, 2 * H);
    tracker.event({ kind: 'spool-out', atMs: at(2 * H + 60) });
    const out = tracker.advance(at(2 * H + 700));
    expect(out.state).toBe('idle');
    expect(out.dryAtReason.p50).toBe('no-run');
    tracker.event({ kind: 'spool-in', atMs: at(2 * H + 900) });
    feed(tracker, 2 * H + 930, 4 * H);
    expect(tracker.advance(at(4 * H + 1)).runStartMs).toBeGreaterThan(at(2 * H));
  });
});

describe('unusual input', () => {
  it('takes a box that is hot when first seen as anywhere between wet and nearly done', () => {
    const tracker = createDryingTracker(setup(), START);
    feed(tracker, 2 * H, 2.5 * H);
    const estimate = tracker.advance(at(2.5 * H + 5));
    expect(estimate.runStartMs).not.toBeNull();
    expect(estimate.assumptions.join(' ')).toContain('already warm');
    expect(estimate.moistureWtPercent.p95 / estimate.moistureWtPercent.p05).toBeGreaterThan(4);
  });

  it('does without a room sensor, with a wider floor, and says so', () => {
    const width = (room: boolean): number => {
      const tracker = createDryingTracker(setup(), START);
      feed(tracker, 0, 2 * H, { room });
      const estimate = tracker.advance(at(2 * H + 5));
      expect(estimate.assumptions.some((text) => text.startsWith('No room sensor'))).toBe(!room);
      return Math.log(estimate.floorWtPercent!.p95 / estimate.floorWtPercent!.p05);
    };
    expect(width(false)).toBeGreaterThan(width(true));
  });

  it('knows no floor for a closed box and a lower one for dried air', () => {
    const floor = (airSupply: 'room' | 'closed' | 'desiccant') => {
      const tracker = createDryingTracker(setup({ airSupply }), START);
      feed(tracker, 0, 1.5 * H);
      return tracker.advance(at(1.5 * H + 5)).floorWtPercent;
    };
    expect(floor('closed')).toBeNull();
    expect(floor('desiccant')!.p50).toBeLessThan(floor('room')!.p50);
  });

  it('bears readings that are missing, equal, late or absurd', () => {
    const tracker = createDryingTracker(setup({ reel: 'unknown' }), START);
    feed(tracker, 0, H);
    tracker.observeBox({ atMs: at(H - 500), airTemperatureC: null, relativeHumidityPercent: 3 });
    tracker.observeBox({ atMs: at(H), airTemperatureC: Number.NaN });
    tracker.observeBox({ atMs: at(H), airTemperatureC: 400, relativeHumidityPercent: -40 });
    feed(tracker, H + 30, 2 * H);
    const estimate = tracker.advance(at(2 * H + 1));
    for (const q of [estimate.moistureWtPercent, estimate.readyOuterG])
      for (const value of [q.p05, q.p50, q.p95]) expect(Number.isFinite(value)).toBe(true);
  });
});
