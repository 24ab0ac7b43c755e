/**
 * Sorption isotherm of the simulated polymer, after G. S. Park (1986, from memory): sites (Langmuir) + dissolved
 * water (Henry) + clusters. Another family than the estimators' rational form on purpose.
 *
 *   w(a) = k·a + C·b·a/(1 + b·a) + q·aⁿ
 *
 * Letters: w moisture wt % of dry polymer, a activity (RH fraction), k Henry slope, C site capacity, b site affinity,
 * q and n clusters. C may be negative: a polymer whose first water is bound less than its table says.
 */
export interface ParkIsotherm {
  readonly k: number;
  readonly C: number;
  readonly b: number;
  readonly q: number;
  readonly n: number;
}

/** Activity at which the low slope is prescribed, as a secant from zero. */
export const LOW_ACTIVITY = 0.05;

/** The isotherm through three points (at 5 %RH by its secant slope, 50 %RH, saturated) for given b and n. */
export function fitParkIsotherm(
  lowSlope: number,
  at50: number,
  saturated: number,
  b: number,
  n: number,
): ParkIsotherm {
  const site = (a: number): number => (b * a) / (1 + b * a);
  const low = LOW_ACTIVITY;
  // Two points with q = 0 first; then q from the saturated one, three equations linear in k, C, q.
  const solve = (q: number): { k: number; C: number } => {
    const y1 = lowSlope * low - q * low ** n;
    const y2 = at50 - q * 0.5 ** n;
    const det = low * site(0.5) - 0.5 * site(low);
    return { k: (y1 * site(0.5) - y2 * site(low)) / det, C: (low * y2 - 0.5 * y1) / det };
  };
  const end = (q: number): number => {
    const { k, C } = solve(q);
    return k + C * site(1) + q;
  };
  // end(q) is linear in q.
  const atZero = end(0);
  const gain = end(1) - atZero;
  const q = Math.max(0, (saturated - atZero) / gain);
  return { ...solve(q), b, q, n };
}

export function parkMoisture(isotherm: ParkIsotherm, a: number): number {
  const site = (isotherm.C * isotherm.b * a) / (1 + isotherm.b * a);
  return isotherm.k * a + site + isotherm.q * a ** isotherm.n;
}

/** Activity over a sorbed amount, by bisection; above 1 where the polymer holds more than saturated air gives it. */
export function parkActivity(isotherm: ParkIsotherm, moisture: number): number {
  let low = 0;
  let high = 1.5;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (parkMoisture(isotherm, middle) < moisture) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}
