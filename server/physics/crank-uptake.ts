/**
 * How far a body whose surface is held has come, from the first moment on: cylinder and plane sheet.
 *
 * Letters: x dimensionless time; cylinder x = D·t/a² (a radius), sheet x = D·t/l² (l thickness, both faces open).
 * Source: J. Crank, The Mathematics of Diffusion, 2nd ed., equations 5.23 and 5.27 (cylinder), 4.18 and 4.20 (sheet);
 * ISO 62 evaluates water absorption of plastics by the sheet.
 */
import { besselRoots, cylinderFraction } from './crank-cylinder.ts';

/** Below this the short-time form is within 2e-5, above it twenty roots leave less than 1e-9. */
const CYLINDER_SHORT_X = 0.01;
const ROOTS = besselRoots(20);

/** M_t/M_∞ of a cylinder for x ≥ 0; short times: (4/√π)·√x − x − x^1.5/(3√π). NaN below 0. */
export function uptakeOfCylinder(x: number): number {
  if (!(x >= 0)) return Number.NaN;
  if (x > CYLINDER_SHORT_X) return x > 5 ? 1 : cylinderFraction(x, ROOTS);
  const root = Math.sqrt(x);
  return (4 / Math.sqrt(Math.PI)) * root - x - (x * root) / (3 * Math.sqrt(Math.PI));
}

const SHEET_SHORT_X = 0.04;
const SHEET_TERMS = 8;

/** M_t/M_∞ of a sheet for x ≥ 0; short times: 4·√(x/π). NaN below 0. */
export function uptakeOfSheet(x: number): number {
  if (!(x >= 0)) return Number.NaN;
  if (x < SHEET_SHORT_X) return 4 * Math.sqrt(x / Math.PI);
  let rest = 0;
  for (let n = 0; n < SHEET_TERMS; n++) {
    const odd = (2 * n + 1) * Math.PI;
    rest += (8 / (odd * odd)) * Math.exp(-odd * odd * x);
  }
  return 1 - rest;
}
