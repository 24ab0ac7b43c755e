import { describe, expect, it } from 'vitest';
import { CHAMBER_KINDS, chamberCase, drawChamberRun } from '../../simulators/chamber-draw.ts';
import { chamberSensors } from '../../simulators/chamber-sensors.ts';
import { drawDryingRun } from '../../simulators/drying-draw.ts';
import { dryingSensors } from '../../simulators/drying-sensors.ts';

describe('a drying run as its sensors tell it', () => {
  it('readings stay near the truth, by the drawn errors and no more', () => {
    const run = drawDryingRun({ material: 'pa12', setTemperatureC: 80, seed: 77, lids: [] });
    const sensors = dryingSensors(run, { box: { afterHeatPercent: 0 } });
    const { rhGain, rhOffsetPercent, temperatureOffsetC } = sensors.errors.box;
    for (let i = 0; i < 240; i++) {
      const reading = sensors.next(60);
      expect(reading.elapsedS).toBe(60 * (i + 1));
      if (i < 120) continue;
      // Thermostat swings pass the 8 s lag; 1.5 °C and 1 %RH cover them.
      expect(Math.abs(reading.t - temperatureOffsetC - run.truth.airC)).toBeLessThan(1.5);
      expect(Math.abs((reading.rh - rhOffsetPercent) / rhGain - run.truth.airRhPercent)).toBeLessThan(1);
      expect(Math.abs(reading.roomT - run.truth.room.temperatureC)).toBeLessThan(1);
    }
  });

  it('the scale loses what the spool gives away, once cell and lift are taken off', () => {
    const run = drawDryingRun({ material: 'pa6', setTemperatureC: 80, seed: 78, reel: 'plastic', lids: [] });
    const cell = { tareG: 40, perKG: 0, creepG: 0, noiseG: 0, wanderG: 0, fanLiftG: 0 };
    const sensors = dryingSensors(run, { cell });
    const first = sensors.next(10).m;
    const before = run.truth.spoolWaterG();
    for (let i = 0; i < 60; i++) sensors.next(600);
    const reading = sensors.next(10);
    expect(first - reading.m).toBeCloseTo(before - run.truth.spoolWaterG(), 1);
    expect(first - reading.m).toBeGreaterThan(2);
  });

  it('a run is the same for its seed; an override leaves all else as it was', () => {
    const base = { material: 'petg', setTemperatureC: 65, seed: 5 } as const;
    const one = dryingSensors(drawDryingRun(base)).next(7200);
    expect(dryingSensors(drawDryingRun(base)).next(7200)).toEqual(one);
    const plain = drawDryingRun(base).spec;
    const changed = drawDryingRun({ ...base, fill: 0.5, ventLPerMin: 1, reel: 'cardboard', lids: [] }).spec;
    expect(changed.polymer).toEqual(plain.polymer);
    expect(changed.room).toEqual(plain.room);
    expect(changed.winding.porosity).toEqual(plain.winding.porosity);
    expect(changed.airVolumeL).toBe(plain.airVolumeL);
    expect(changed.ventLPerMin).toBe(1);
    expect(changed.winding.dryMassG).toBeLessThan(501);
  });

  it('draws runs as stated: storage 5–85 %RH with four in five at 15–65, lids in half, cardboard in a third', () => {
    const count = 300;
    let middle = 0;
    let lidded = 0;
    let cardboard = 0;
    const errors: number[] = [];
    for (let seed = 0; seed < count; seed++) {
      const run = drawDryingRun({ material: 'pc', setTemperatureC: 90, seed });
      expect(run.storageRhPercent).toBeGreaterThanOrEqual(5);
      expect(run.storageRhPercent).toBeLessThanOrEqual(85);
      expect(run.spec.ventLPerMin).toBeGreaterThan(0.59);
      expect(run.spec.ventLPerMin).toBeLessThan(6.01);
      if (run.storageRhPercent >= 15 && run.storageRhPercent <= 65) middle++;
      if (run.spec.lids.length > 0) lidded++;
      if (run.stated.reel === 'cardboard') cardboard++;
      const net = run.spec.winding.dryMassG * (1 + 0.01 * run.spec.startWtPercent);
      errors.push(run.stated.netMassG / net - 1);
    }
    // Four binomial standard errors at 300: 0.8 ± 0.092; 1/2 ± 0.115; 1/3 ± 0.109.
    expect(Math.abs(middle / count - 0.8)).toBeLessThan(0.092);
    expect(Math.abs(lidded / count - 0.5)).toBeLessThan(0.115);
    expect(Math.abs(cardboard / count - 1 / 3)).toBeLessThan(0.109);
    const sd = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / count);
    expect(Math.abs(sd - 0.03)).toBeLessThan(4 * (0.03 / Math.sqrt(2 * count)));
  });

  it('dried supply air lowers the floor, and an unheated box keeps rather than dries', () => {
    const base = { material: 'pa12', setTemperatureC: 60, seed: 9, reel: 'plastic', lids: [] } as const;
    const moist = drawDryingRun(base).truth;
    const dried = drawDryingRun({ ...base, driedSupplyPa: 60 }).truth;
    const asStored = { storageRhPercent: 45, room: { meanTemperatureC: 23, meanRhPercent: 45 } };
    const cold = drawDryingRun({ ...base, ...asStored, heatAtS: Number.POSITIVE_INFINITY }).truth;
    const start = cold.meanWtPercent();
    for (const truth of [moist, dried, cold]) truth.step(12 * 3600);
    expect(dried.floorWtPercent()).toBeLessThan(0.2 * moist.floorWtPercent());
    expect(dried.meanWtPercent()).toBeLessThan(moist.meanWtPercent());
    expect(Math.abs(cold.meanWtPercent() / start - 1)).toBeLessThan(0.1);
  });
});

describe('a chamber run as its sensors tell it', () => {
  it('follows the truth in every kind of case', () => {
    for (const kind of CHAMBER_KINDS) {
      const run = drawChamberRun(chamberCase(31, kind));
      const sensors = chamberSensors(run);
      for (let i = 0; i < 60; i++) sensors.next(60);
      const reading = sensors.next(60);
      expect(Math.abs(reading.t - run.truth.airC), kind).toBeLessThan(1);
      expect(Math.abs(reading.tb - run.truth.bedC), kind).toBeLessThan(2);
    }
  });
});
