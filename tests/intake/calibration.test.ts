/** Calibrations against closed forms, a published regression, and sensors whose errors were put in by hand. */
import { describe, expect, test } from 'vitest';
import { fitLinear, varianceAt } from '../../server/intake/calibration/least-squares.ts';
import { checkSalts } from '../../server/intake/calibration/salt-check.ts';
import { checkScale, type ScaleRun } from '../../server/intake/calibration/scale-check.ts';
import { type Settled, settle } from '../../server/intake/calibration/settled.ts';
import { compareSideBySide, type Neighbour } from '../../server/intake/calibration/side-by-side.ts';
import { correctValues } from '../../server/intake/correction.ts';
import { seededRandom } from '../../simulators/random.ts';

describe('least squares', () => {
  /** NIST Statistical Reference Datasets, Norris (linear, lower difficulty): pairs y x, and the certified results. */
  const NORRIS =
    `0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
    778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6 557.7 556.0
    228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1 888.0 887.2 998.5 999.0
    778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5`
      .trim()
      .split(/\s+/)
      .map(Number);

  test('agrees with the certified line of a reference data set to nine digits', () => {
    const rows = Array.from({ length: NORRIS.length / 2 }, (_, i) => ({
      x: [1, NORRIS[2 * i + 1] as number],
      y: NORRIS[2 * i] as number,
    }));
    expect(rows).toHaveLength(36);
    const fit = fitLinear(rows)!;
    const near = (value: number | undefined, certified: number) =>
      expect(Math.abs((value as number) / certified - 1)).toBeLessThan(1e-9);
    near(fit.coefficients[0], -0.262323073774029);
    near(fit.coefficients[1], 1.00211681802045);
    near(Math.sqrt(fit.covariance[0]?.[0] as number), 0.232818234301152);
    near(Math.sqrt(fit.covariance[1]?.[1] as number), 0.000429796848199937);
    near(fit.residual, 0.884796396144373);
  });

  test('unknowns that the points do not tell apart are not made up', () => {
    expect(
      fitLinear([
        { x: [1, 2], y: 1 },
        { x: [1, 2], y: 2 },
      ]),
    ).toBeNull();
    expect(fitLinear([{ x: [1, 2], y: 1 }])).toBeNull();
  });
});

const settled = (mean: number, uncertainty = 0.05): Settled => ({
  mean,
  uncertainty,
  readings: 100,
  lastMs: 0,
});

describe('saturated salts', () => {
  test('two points give the line through them, and the closed form of its uncertainty', () => {
    // At 25 °C 11.30 and 75.29 %RH (published). The sensor says 13.1 and 74.0.
    const check = checkSalts([
      { salt: 'licl', said: settled(13.1), temperatureC: 25 },
      { salt: 'nacl', said: settled(74), temperatureC: 25 },
    ]);
    if (!check.ok) throw new Error(check.detail);
    const gain = (75.29 - 11.3) / (74 - 13.1);
    expect(check.gain).toBeCloseTo(gain, 3);
    expect(check.offsetPercent).toBeCloseTo(11.3 - gain * 13.1, 1);
    expect(check.gain * 13.1 + check.offsetPercent).toBeCloseTo(11.3, 2);
    // Reference, 0.2 K at 6 % of the humidity a kelvin, hysteresis of 0.8, and the mean itself.
    const sigma = (u: number, rh: number) =>
      Math.sqrt((u / 2) ** 2 + (0.06 * rh * 0.2) ** 2 / 3 + 0.8 ** 2 / 3 + 0.05 ** 2);
    const [low, high] = [sigma(0.3, 11.3), sigma(0.12, 75.29)];
    expect(check.points.map(({ uncertaintyPercent }) => uncertaintyPercent / 2)).toEqual([
      expect.closeTo(low, 3),
      expect.closeTo(high, 3),
    ]);
    for (const said of [0, 5, 13.1, 40, 74]) {
      const share = (said - 13.1) / (74 - 13.1);
      expect(check.uncertaintyAt(said) / 2).toBeCloseTo(Math.hypot((1 - share) * low, share * high), 3);
    }
    expect(check.uncertaintyAt(0)).toBeGreaterThan(check.uncertaintyAt(13.1));
  });

  test('one point tells an offset and no gain', () => {
    const check = checkSalts([{ salt: 'nacl', said: settled(73), temperatureC: 20 }]);
    expect(check).toMatchObject({ ok: true, gain: 1, gainUncertainty: 0 });
    expect(Math.abs((check.ok ? check.offsetPercent : 0) - 2.47)).toBeLessThan(0.011);
  });

  test('what cannot be is said: the same reading over both salts, and a temperature without fixed points', () => {
    const same = checkSalts([
      { salt: 'licl', said: settled(45), temperatureC: 25 },
      { salt: 'nacl', said: settled(46), temperatureC: 25 },
    ]);
    expect(same).toMatchObject({ ok: false, detail: expect.stringContaining('nearly the same') });
    expect(checkSalts([{ salt: 'licl', said: settled(11), temperatureC: 8 }])).toMatchObject({
      ok: false,
      detail: expect.stringContaining('15 to 50'),
    });
  });

  test('over many sensors the truth lies within the stated uncertainty about as often as it says', () => {
    const random = seededRandom(77);
    const evenly = (halfWidth: number) => (2 * random.next() - 1) * halfWidth;
    let within = 0;
    const SENSORS = 2000;
    for (let n = 0; n < SENSORS; n++) {
      const [gain, offset] = [1 + evenly(0.05), evenly(2)];
      // What it says of a true humidity, with the hysteresis, mismatch and salts that the check reckons with.
      const said = (rh: number, u: number) => {
        const salt = rh + random.normal(0, u / 2);
        const near = salt * (1 + 0.06 * evenly(0.2));
        return settled((near + evenly(0.8) - offset) / gain + random.normal(0, 0.05));
      };
      const check = checkSalts([
        { salt: 'licl', said: said(11.304, 0.3), temperatureC: 25 },
        { salt: 'nacl', said: said(75.298, 0.12), temperatureC: 25 },
      ]);
      if (!check.ok) throw new Error(check.detail);
      const saidOfFive = (5 - offset) / gain;
      const found = check.gain * saidOfFive + check.offsetPercent;
      if (Math.abs(found - 5) <= check.uncertaintyAt(saidOfFive)) within++;
    }
    // Two standard uncertainties of a sum of even and normal errors: 95 to 98 in 100; five standard errors of counting.
    expect(within / SENSORS).toBeGreaterThan(0.93);
    expect(within / SENSORS).toBeLessThan(0.995);
  });
});

test('a sensor that has not come to rest, or spoke too little, is no calibration', () => {
  const minutes = (count: number, value: (s: number) => number) =>
    Array.from({ length: count * 6 }, (_, i) => ({ atMs: i * 10_000, value: value(i * 10) }));
  expect(
    settle(
      minutes(10, () => 45.2),
      0.5,
      'it',
      '%RH',
    ),
  ).toMatchObject({ ok: true, mean: expect.closeTo(45.2) });
  const moving = settle(
    minutes(10, (s) => 45 + s / 300),
    0.5,
    'the humidity',
    '%RH',
  );
  expect(moving).toMatchObject({ ok: false, detail: expect.stringMatching(/still moved by 1\.0\d %RH/) });
  expect(
    settle(
      minutes(3, () => 45),
      0.5,
      'it',
      '%RH',
    ),
  ).toMatchObject({ ok: false });
  expect(settle([], 0.5, 'it', '%RH')).toMatchObject({ ok: false });
  // Noise of 0.3 over ten independent minutes.
  const random = seededRandom(5);
  const noisy = settle(
    minutes(10, () => 45 + random.normal(0, 0.3)),
    0.5,
    'it',
    '%RH',
  );
  expect(noisy.ok && noisy.uncertainty).toBeGreaterThan(0.3 / Math.sqrt(10) / 2);
  expect(noisy.ok && noisy.uncertainty).toBeLessThan(2 * (0.3 / Math.sqrt(10)));
});

test('side by side: differences, and which of them both tolerances cannot explain', () => {
  const at = (station: string, t: number, rh: number | null): Neighbour => ({
    station,
    temperatureC: settled(t, 0.01),
    humidityPercent: rh === null ? null : settled(rh, 0.1),
    temperatureToleranceC: 0.2,
    rhTolerancePercent: 1.8,
  });
  const compared = compareSideBySide(at('room', 22, 45), [at('box', 22.3, 49.2), at('rig', 22.6, null)]);
  expect(compared.map(({ station, beyondTolerance }) => [station, beyondTolerance])).toEqual([
    ['room', []],
    ['box', ['rh']],
    ['rig', ['t']],
  ]);
  expect(compared[1]).toMatchObject({
    temperatureOffsetC: expect.closeTo(-0.3),
    rhOffsetPercent: expect.closeTo(-4.2),
    rhUncertaintyPercent: expect.closeTo(2 * Math.hypot(0.1, 0.1)),
  });
  expect(compared[2]?.rhOffsetPercent).toBeNull();
  // Steam tables: 19.4 g/m³ saturated at 22 °C.
  expect(compared[0]?.vapourDensityGPerM3).toBeCloseTo(0.45 * 19.4, 1);
});

describe('the scale', () => {
  const TRUE = { zeroG: -42.5, zeroGPerK: 0.9, span: 0.982, spanPerK: 0.0004, referenceC: 30 };
  const random = seededRandom(12);
  /** An hour and a half in which the cell warms from 22 to 38 °C; a line every 10 s, noise of 0.2 g. */
  const run = (massG: number, warms = true): ScaleRun => ({
    massG,
    readings: Array.from({ length: 540 }, (_, i) => {
      const cellC = warms ? 22 + (16 * i) / 540 : 25;
      const d = cellC - TRUE.referenceC;
      const said = TRUE.zeroG + TRUE.zeroGPerK * d + massG * (TRUE.span + TRUE.spanPerK * d);
      return { atMs: i * 10_000, saidG: said + random.normal(0, 0.2), cellC };
    }),
  });
  const correctionOf = (check: ReturnType<typeof checkScale>) => {
    if (!check.ok) throw new Error(check.detail);
    return { calibratedOn: null, rhGain: 1, rhOffsetPercent: 0, temperatureOffsetC: 0, scale: check };
  };

  test('two warming runs give zero, span and their temperature, and a mass comes out right at any of them', () => {
    const check = checkScale([run(0), run(1000)]);
    const correction = correctionOf(check);
    expect(check).toMatchObject({ seesTemperature: true, referenceC: 31 });
    for (const [massG, cellC] of [
      [0, 22],
      [1250, 24],
      [1250, 37],
    ] as const) {
      const d = cellC - TRUE.referenceC;
      const said = TRUE.zeroG + TRUE.zeroGPerK * d + massG * (TRUE.span + TRUE.spanPerK * d);
      const { m } = correctValues(correction, { m: said, tm: cellC }, cellC);
      expect(Math.abs((m as number) - massG)).toBeLessThan(correction.scale.uncertaintyG(massG, cellC));
    }
    expect(correction.scale.uncertaintyG(1250, 30)).toBeLessThan(1);
    // Said raw, the same spool would have lost 22 g by the cell's warming alone.
    // The first ten minutes, at 22 to 24 °C, are left out: the runs' middle is at 31 °C.
    expect(check.ok && check.zeroGPerK).toBeCloseTo(0.9, 1);
    expect(check.ok && check.spanPerK).toBeCloseTo(0.0004, 4);
  });

  test('without warmth nothing is claimed of the temperature; without a second mass nothing at all', () => {
    const cold = checkScale([run(0, false), run(500, false)]);
    expect(cold).toMatchObject({ ok: true, seesTemperature: false, zeroGPerK: 0, spanPerK: 0 });
    expect(checkScale([run(500), run(510)])).toMatchObject({ ok: false });
    expect(checkScale([run(0), { massG: 500, readings: run(500).readings.slice(0, 60) }])).toMatchObject({
      ok: false,
      detail: expect.stringContaining('500 g is too short'),
    });
    const moved = run(1000);
    const half = {
      ...moved,
      readings: moved.readings.map((one, i) => ({ ...one, saidG: i < 400 ? one.saidG : 0 })),
    };
    expect(checkScale([run(0), half])).toMatchObject({
      ok: false,
      detail: expect.stringContaining('was moved'),
    });
    const exchanged = [run(0), run(1000)].map((one) => ({ ...one, massG: 1000 - one.massG }));
    expect(checkScale(exchanged)).toMatchObject({
      ok: false,
      detail: expect.stringContaining('other way round'),
    });
  });
});

test('variance of a line grows as the square of the distance from its points', () => {
  const fit = fitLinear([
    { x: [1, 0], y: 0, sigma: 1 },
    { x: [1, 1], y: 1, sigma: 1 },
  ])!;
  // Closed form: (1 − x)² + x².
  for (const x of [-1, 0, 0.5, 3]) expect(varianceAt(fit, [1, x])).toBeCloseTo((1 - x) ** 2 + x ** 2, 12);
});

test('a correction changes what it is about and nothing else', () => {
  const nothing = { calibratedOn: null, rhGain: 1, rhOffsetPercent: 0, temperatureOffsetC: 0, scale: null };
  expect(correctValues(nothing, { t: 20, rh: 50, m: 1000 }, null)).toEqual({});
  expect(correctValues({ ...nothing, rhGain: 0.9, rhOffsetPercent: 2 }, { t: 20, rh: 50 }, null)).toEqual({
    rh: 47,
  });
  expect(correctValues({ ...nothing, temperatureOffsetC: -0.5 }, { t: 20 }, null)).toEqual({ t: 19.5 });
});
