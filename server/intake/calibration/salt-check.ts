/** A humidity sensor held over saturated salts: gain and offset, and what they leave unsure. */
import { fixedPoint, SALT_HIGHEST_C, SALT_LOWEST_C, type Salt, saltName } from '../../physics/salts.ts';
import { fitLinear, varianceAt } from './least-squares.ts';
import type { Settled } from './settled.ts';

export interface SaltPoint {
  readonly salt: Salt;
  readonly said: Settled;
  readonly temperatureC: number;
}

export interface CheckedPoint {
  readonly salt: Salt;
  readonly temperatureC: number;
  readonly saidPercent: number;
  readonly meantPercent: number;
  /** Two standard uncertainties of the difference, %RH. */
  readonly uncertaintyPercent: number;
}

export type SaltCheck =
  | {
      readonly ok: true;
      readonly points: readonly CheckedPoint[];
      /** Humidity meant = gain · said + offset. With one point the gain stays 1. */
      readonly gain: number;
      readonly offsetPercent: number;
      /** Two standard uncertainties; 0 for a gain that was not measured. */
      readonly gainUncertainty: number;
      readonly offsetUncertaintyPercent: number;
      /** Two standard uncertainties of a corrected humidity, where the sensor says so much. */
      uncertaintyAt(saidPercent: number): number;
    }
  | { readonly ok: false; readonly detail: string };

/** How far sensor and solution may differ in temperature: a maker's instruction for such checks is 0.1–0.2 K. */
const MISMATCH_K = 0.2;
/** 1 K between sensor and salt is ±3 %RH at 50 %RH, ±6 at 97: the same instruction. */
const RELATIVE_PER_K = 0.06;
/** Of common sensors (SHT3x and SHT4x data sheets): which way it came to its value shifts it by so much. */
const HYSTERESIS_PERCENT = 0.8;
/** Points nearer than this to each other tell an offset, not a gain. */
const LEAST_APART_PERCENT = 15;

/** Half widths of something that is as likely anywhere within. */
const evenly = (halfWidth: number): number => halfWidth / Math.sqrt(3);

export function checkSalts(points: readonly SaltPoint[]): SaltCheck {
  const rows: { readonly point: CheckedPoint; readonly sigma: number }[] = [];
  for (const { salt, said, temperatureC } of points) {
    const reference = fixedPoint(salt, temperatureC);
    if (!reference)
      return {
        ok: false,
        detail: `The sensor over ${saltName(salt)} says ${temperatureC.toFixed(1)} °C; the fixed points hold from ${SALT_LOWEST_C} to ${SALT_HIGHEST_C} °C.`,
      };
    const meant = reference.relativeHumidityPercent;
    const sigma = Math.hypot(
      reference.uncertaintyPercent / 2,
      evenly(RELATIVE_PER_K * meant * MISMATCH_K),
      evenly(HYSTERESIS_PERCENT),
      said.uncertainty,
    );
    rows.push({
      point: {
        salt,
        temperatureC,
        saidPercent: said.mean,
        meantPercent: meant,
        uncertaintyPercent: 2 * sigma,
      },
      sigma,
    });
  }
  const said = rows.map(({ point }) => point.saidPercent);
  const isOne = rows.length === 1;
  if (!isOne && Math.max(...said) - Math.min(...said) < LEAST_APART_PERCENT)
    return {
      ok: false,
      detail: `The sensor says nearly the same over all salts (${said.map((one) => one.toFixed(1)).join(', ')} %RH): one of the times is wrong, or the sensor does not respond.`,
    };
  const fit = fitLinear(
    rows.map(({ point, sigma }) =>
      isOne
        ? { x: [1], y: point.meantPercent - point.saidPercent, sigma }
        : { x: [1, point.saidPercent], y: point.meantPercent, sigma },
    ),
  );
  if (!fit) return { ok: false, detail: 'The points do not determine a gain and an offset.' };
  const [offsetPercent = 0, gain = 1] = fit.coefficients;
  return {
    ok: true,
    points: rows.map(({ point }) => point),
    gain,
    offsetPercent,
    gainUncertainty: isOne ? 0 : 2 * Math.sqrt(fit.covariance[1]?.[1] as number),
    offsetUncertaintyPercent: 2 * Math.sqrt(fit.covariance[0]?.[0] as number),
    uncertaintyAt: (saidPercent) => 2 * Math.sqrt(varianceAt(fit, isOne ? [1] : [1, saidPercent])),
  };
}
