import { describe, expect, it } from 'vitest';
import { MOST_BLOCKS } from '../../../server/estimators/soak/blocks.ts';
import { createDoorWatch, watchDoor } from '../../../server/estimators/soak/doors.ts';
import type { SoakEstimate } from '../../../server/estimators/soak/estimate.ts';
import { createSoakTracker, type SoakTracker } from '../../../server/estimators/soak/tracker.ts';
import { type ChamberCase, drawChamberRun } from '../../../simulators/chamber-draw.ts';
import { type ChamberReading, chamberSensors } from '../../../simulators/chamber-sensors.ts';

const SETUP = { station: 'rig', readyBandC: 1, readyDriftCPer10Min: 0.5 };

function readings(wanted: ChamberCase, hours: number, everyS = 20): ChamberReading[] {
  const sensors = chamberSensors(drawChamberRun(wanted));
  return Array.from({ length: (hours * 3600) / everyS }, () => sensors.next(everyS));
}

function feed(tracker: SoakTracker, from: readonly ChamberReading[], bed = false): void {
  for (const { elapsedS, t, tb, roomT } of from) {
    tracker.observe({ atMs: elapsedS * 1000, airTemperatureC: t, ...(bed ? { bedTemperatureC: tb } : {}) });
    tracker.observeRoom({ atMs: elapsedS * 1000, airTemperatureC: roomT });
  }
}

const lastMs = (all: readonly ChamberReading[]): number => all[all.length - 1]!.elapsedS * 1000;

describe('the soak tracker', () => {
  it('says the same whether it is asked each reading or once: ticks move no number', () => {
    const all = readings({ seed: 21 }, 2);
    const often = createSoakTracker(SETUP, 0);
    for (const reading of all) {
      feed(often, [reading]);
      often.advance(reading.elapsedS * 1000);
    }
    const once = createSoakTracker(SETUP, 0);
    feed(once, all);
    expect(often.advance(lastMs(all))).toEqual(once.advance(lastMs(all)));
  });

  it('goes on with the same numbers after a restart, at any minute', () => {
    const all = readings({ seed: 22 }, 2);
    const whole = createSoakTracker(SETUP, 0);
    feed(whole, all);
    for (const at of [40, 151, 300]) {
      const before = createSoakTracker(SETUP, 0);
      feed(before, all.slice(0, at));
      const saved = JSON.parse(JSON.stringify(before.save())) as ReturnType<SoakTracker['save']>;
      const after = createSoakTracker(SETUP, 0, saved);
      feed(after, all.slice(at));
      expect(after.advance(lastMs(all))).toEqual(whole.advance(lastMs(all)));
    }
  });

  it('a restart inside a gap, after a told door, or while it cools changes nothing, with bed and part too', () => {
    const all = readings({ seed: 24, bedOffS: 2 * 3600 }, 3, 40).filter(
      ({ elapsedS }) => elapsedS < 4000 || elapsedS > 5000,
    );
    const run = (restartS: number): SoakEstimate => {
      let tracker = createSoakTracker(SETUP, 0);
      let restarted = false;
      for (const reading of all) {
        if (!restarted && reading.elapsedS > restartS) {
          const saved = JSON.parse(JSON.stringify(tracker.save())) as ReturnType<SoakTracker['save']>;
          tracker = createSoakTracker(SETUP, reading.elapsedS * 1000, saved);
          restarted = true;
        }
        const { elapsedS, t, tb, ts, roomT } = reading;
        const atMs = elapsedS * 1000;
        tracker.observe({
          atMs,
          airTemperatureC: t,
          bedTemperatureC: tb,
          surfaceTemperatureC: ts,
        });
        tracker.observeRoom({ atMs, airTemperatureC: roomT });
        if (elapsedS === 3000) tracker.event({ kind: 'door', atMs });
      }
      return tracker.advance(lastMs(all));
    };
    const whole = run(Number.POSITIVE_INFINITY);
    expect(whole.state).toBe('cooling');
    expect(whole.openAtReason.p50).not.toBe('no-run');
    for (const restartS of [3050, 4500, 8000]) expect(run(restartS)).toEqual(whole);
  });

  it('any one reading moves the answer', () => {
    const all = readings({ seed: 23 }, 2);
    const answer = (moved: number): SoakEstimate => {
      const tracker = createSoakTracker(SETUP, 0);
      feed(
        tracker,
        all.map((reading, i) => (i === moved ? { ...reading, t: reading.t + 1 } : reading)),
      );
      return tracker.advance(lastMs(all));
    };
    expect(answer(280).finalAirC).not.toEqual(answer(-1).finalAirC);
  });

  it('is cold before the heat, climbs, is steady, cools, and never steady again with the heat off', () => {
    for (const bed of [false, true]) {
      const tracker = createSoakTracker(SETUP, 0);
      const named: string[] = [];
      for (const reading of readings({ seed: 26, bedOffS: 6.5 * 3600 }, 11, 40)) {
        feed(tracker, [reading], bed);
        const { state } = tracker.advance(reading.elapsedS * 1000);
        if (named[named.length - 1] !== state) named.push(state);
      }
      expect(named[0]).toBe('cold');
      expect(named).toContain('steady');
      expect(named.lastIndexOf('steady')).toBeLessThan(named.indexOf('cooling'));
      expect(['cooling', 'cold']).toContain(named[named.length - 1]);
    }
  });

  it('a bed that goes off late in a block is not taken for air that has come to rest', () => {
    // The block’s mean has just stopped rising, while its last minutes fall by degrees.
    const tracker = createSoakTracker(SETUP, 0);
    const offS = 8207.4;
    for (const reading of readings({ seed: 99, bedOffS: offS }, 3)) {
      feed(tracker, [reading]);
      const { state } = tracker.advance(reading.elapsedS * 1000);
      if (reading.elapsedS > offS + 120) expect(state).not.toBe('steady');
      if (reading.elapsedS > offS + 15 * 60) expect(state).toBe('cooling');
    }
  });

  it('a surface that is measured tells the opening closer than one that is not, and neither too early', () => {
    const offS = 3 * 3600;
    const said = [true, false].map((seen) => {
      const tracker = createSoakTracker(SETUP, 0);
      let widthMin: number | null = null;
      let saidS: number | null = null;
      let trulyS = 0;
      for (const { elapsedS, t, tb, ts, roomT } of readings({ seed: 8, bedOffS: offS }, 5)) {
        const atMs = elapsedS * 1000;
        const measured = seen ? { bedTemperatureC: tb, surfaceTemperatureC: ts } : {};
        tracker.observe({ atMs, airTemperatureC: t, ...measured });
        tracker.observeRoom({ atMs, airTemperatureC: roomT });
        const { p05, p95 } = tracker.advance(atMs).openAtMs;
        if (elapsedS > offS && (t >= 45 || ts - t > 10)) trulyS = elapsedS;
        if (p05 === null || p95 === null) continue;
        if (elapsedS >= offS + 1200) widthMin ??= (p95 - p05) / 60_000;
        if (p95 <= atMs) saidS ??= elapsedS;
      }
      expect(saidS).toBeGreaterThan(trulyS - 300);
      return { widthMin: widthMin ?? 0, lateS: saidS! - trulyS };
    });
    expect(said[0]!.lateS).toBeLessThan(600);
    expect(said[1]!.lateS).toBeLessThan(3600);
    expect(said[1]!.widthMin).toBeGreaterThan(2 * said[0]!.widthMin);
  });

  it('tells when it may be opened after the heat went off, and not before', () => {
    const tracker = createSoakTracker(SETUP, 0);
    const all = readings({ seed: 27, bedTargetC: 110, insulated: true, bedOffS: 5 * 3600 }, 9, 40);
    const on = all.filter(({ elapsedS }) => elapsedS < 5 * 3600);
    feed(tracker, on, true);
    const heated = tracker.advance(lastMs(on));
    expect(heated.openAtMs.p50).toBeNull();
    expect(heated.openAtReason.p50).toBe('no-run');
    expect(heated.airC).toBeGreaterThan(45);
    let foretoldMs: number | null = null;
    let crossedMs: number | null = null;
    for (const reading of all.slice(on.length)) {
      feed(tracker, [reading], true);
      const { openAtMs, fittedMs, state } = tracker.advance(reading.elapsedS * 1000);
      if (state === 'cooling' && fittedMs! > 5 * 3600_000 + 480_000) foretoldMs ??= openAtMs.p50;
      if (reading.t < 45) crossedMs ??= reading.elapsedS * 1000;
    }
    expect(crossedMs).not.toBeNull();
    // Air under the mark is needed; slow parts may take longer.
    expect(foretoldMs! - crossedMs!).toBeGreaterThan(-10 * 60_000);
    expect(foretoldMs! - crossedMs!).toBeLessThan(90 * 60_000);
  });

  it('is unknown once its sensor has been quiet for ten minutes, and knows again when it speaks', () => {
    const all = readings({ seed: 28 }, 3);
    const tracker = createSoakTracker(SETUP, 0);
    const gap = { from: 5400, to: 7200 };
    feed(
      tracker,
      all.filter(({ elapsedS }) => elapsedS < gap.from),
    );
    expect(tracker.advance((gap.from + 570) * 1000).state).toBe('climbing');
    expect(tracker.advance((gap.from + 620) * 1000).state).toBe('unknown');
    feed(
      tracker,
      all.filter(({ elapsedS }) => elapsedS >= gap.to),
    );
    const after = tracker.advance(lastMs(all));
    expect(after.state).toBe('climbing');
    expect(after.finalAirC).not.toBeNull();
    // A value that isn't there is no reading.
    tracker.observe({ atMs: lastMs(all) + 700_000, airTemperatureC: null });
    expect(tracker.advance(lastMs(all) + 700_000).state).toBe('unknown');
  });

  it('a chamber that is warm when first seen is neither cold nor believed to have started now', () => {
    const all = readings({ seed: 29 }, 6).filter(({ elapsedS }) => elapsedS > 4 * 3600);
    const tracker = createSoakTracker(SETUP, 4 * 3600_000);
    feed(tracker, all);
    const { state, assumptions, finalAirC } = tracker.advance(lastMs(all));
    expect(state).not.toBe('cold');
    expect(assumptions.join(' ')).toContain('already warm');
    expect(finalAirC).not.toBeNull();
  });

  it('times never go back, and a board that reports for days is kept in bounds', () => {
    const tracker = createSoakTracker(SETUP, 0);
    const all = readings({ seed: 30 }, 2, 60);
    feed(tracker, all);
    tracker.observe({ atMs: 60_000, airTemperatureC: 20 });
    const end = all[all.length - 1]!;
    // One block in eight is heard: refits are of those alone, and the rest is gap.
    for (let s = end.elapsedS; s < 40 * 3600; s += 60)
      if (Math.floor(s / 240) % 8 === 0 || s > 39.5 * 3600)
        tracker.observe({
          atMs: s * 1000,
          airTemperatureC: end.t + 4 * (1 - Math.exp(-(s - end.elapsedS) / 7200)),
        });
    const { run } = tracker.save();
    expect(run!.blocks.airC.length).toBeLessThanOrEqual(MOST_BLOCKS);
    const said = tracker.advance(40 * 3600_000);
    expect(said.state).toBe('steady');
    expect(Math.abs(said.finalAirC!.p50 - (end.t + 4))).toBeLessThan(1);
    expect(said.forecast.length).toBeLessThanOrEqual(60);
  }, 60_000);
});

describe('a door', () => {
  it('is seen in a fall of more than 2.2 °C in half a minute, at fast and slow rhythms, not in a slow fall', () => {
    for (const everyS of [1, 10, 30, 60]) {
      const watch = createDoorWatch();
      let s = 0;
      for (; s <= 300; s += everyS) expect(watchDoor(watch, s, 50)).toBe('shut');
      expect(watchDoor(watch, s, 47)).toBe('opened');
    }
    const slow = createDoorWatch();
    for (let s = 0; s < 3600; s += 10) expect(watchDoor(slow, s, 50 - s * 0.01)).toBe('shut');
  });

  it('masks 400 s from the fall, longer while the air stays down, half an hour at most', () => {
    const watch = createDoorWatch();
    watchDoor(watch, 0, 50);
    watchDoor(watch, 20, 45);
    expect(watchDoor(watch, 300, 49)).toBe('masked');
    expect(watchDoor(watch, 440, 49)).toBe('shut');
    const low = createDoorWatch();
    watchDoor(low, 0, 50);
    watchDoor(low, 20, 45);
    expect(watchDoor(low, 900, 45.2)).toBe('masked');
    expect(watchDoor(low, 1900, 45.2)).toBe('shut');
  });
});
