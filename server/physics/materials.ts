/**
 * The materials table: what each filament polymer does with water, every number with unit, source and grade.
 *
 * The numbers stand in materials.json, 17 families and three additions (a 6/66 copolyamide, a polycarbonate blend, a
 * polyamide of unknown kind). Here they are looked up, scaled for fibre and overridden by what a user knows better.
 */
import { type ConcentrationLaw, scaleForFibre } from './diffusion.ts';
import table from './materials.json' with { type: 'json' };
import { equilibriumWtPercent, type Isotherm, type ReducedIsotherm, reduceIsotherm } from './sorption.ts';

/** One number of the table with all that a reader needs to judge it. */
export interface Evidence {
  readonly quantity: string;
  readonly value: number;
  readonly unit: string;
  /** Sources in words; 'user' for an override. */
  readonly sources: readonly string[];
  readonly grade: string;
}

/** A polymer ready for use: fibre and overrides are already in the numbers. */
export interface Material {
  readonly key: string;
  readonly name: string;
  readonly fibreMassFraction: number;
  readonly densityKgPerM3: number;
  readonly specificHeatJPerKgK: number;
  readonly isotherm: Isotherm;
  /** The isotherm's slope and curvature at low activity, fibre counted in. */
  readonly reduced: ReducedIsotherm;
  readonly isothermScaleSigmaLn: number;
  readonly curvatureSigma: number;
  readonly netSorptionEnthalpyKJPerMol: number;
  readonly diffusivityM2PerS: number;
  readonly diffusivitySigmaLn: number;
  readonly activationEnergyKJPerMol: number;
  readonly concentrationLaw: ConcentrationLaw;
  /** Where steam, stringing or weak layers begin (common practice); the resin guide's where there is none. */
  readonly printingLimitWtPercent: number;
  readonly resinGuideLimitWtPercent: number;
  readonly usualDryingC: number;
  readonly usualDryingHours: readonly [number, number];
  readonly highestDryingC: number;
  readonly softening: string;
  readonly expansionPercentPerWtPercent: readonly [number, number] | null;
  readonly evidence: readonly Evidence[];
}

/** What a user may know better than the table, per material. */
export interface MaterialOverrides {
  readonly diffusivityM2PerS?: number;
  readonly diffusivitySigmaLn?: number;
  /** Multiplies the isotherm. */
  readonly isothermScale?: number;
  readonly isothermScaleSigmaLn?: number;
  readonly printingLimitWtPercent?: number;
  readonly usualDryingC?: number;
  readonly highestDryingC?: number;
}

interface Cell {
  readonly value: number;
  readonly unit: string;
  readonly source: readonly string[] | string;
  readonly grade: string;
}
interface RangeCell {
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  readonly source: readonly string[] | string;
  readonly grade: string;
}
interface Row {
  readonly name: string;
  readonly densityKgPerM3: Cell;
  readonly specificHeatJPerKgK: Cell;
  readonly isotherm: Isotherm & {
    readonly unit: string;
    readonly source: readonly string[];
    readonly grade: string;
  };
  readonly isothermScaleSigmaLn: Cell;
  readonly curvatureSigma: Cell;
  readonly netSorptionEnthalpyKJPerMol: Cell;
  readonly diffusivityM2PerS: Cell;
  readonly diffusivitySigmaLn: Cell;
  readonly activationEnergyKJPerMol: Cell;
  readonly concentrationLaw: ConcentrationLaw;
  readonly equilibriumAt50PercentRh: RangeCell;
  readonly equilibriumSaturated: RangeCell;
  readonly resinGuideLimitWtPercent: Cell;
  readonly printingLimitWtPercent: Cell | null;
  readonly usualDryingC: Cell;
  readonly usualDryingHours: RangeCell;
  readonly highestDryingC: Cell;
  readonly softening: string;
  readonly expansionPercentPerWtPercent: RangeCell | null;
  readonly fibreMassFraction: number;
}

const ROWS = table.materials as unknown as Readonly<Record<string, Row>>;
const SOURCES = table.sources as Readonly<Record<string, string>>;

/** What a spool's label says, and the row that most often stands behind it. */
const ALIASES: Readonly<Record<string, string>> = { tpu: 'tpu_ester' };

export const MATERIAL_KEYS: readonly string[] = [...Object.keys(ROWS), ...Object.keys(ALIASES)];

/** Fibre above this is not filament any more but a composite rod; a bench file that says so is mistaken. */
export const HIGHEST_FIBRE_WT_PERCENT = 50;

const inWords = (source: readonly string[] | string): string[] =>
  (typeof source === 'string' ? [source] : source).map((key) => SOURCES[key] ?? key);

export type MaterialAnswer =
  | { readonly ok: true; readonly material: Material }
  | { readonly ok: false; readonly reason: 'unknown-material' | 'fibre-range'; readonly detail: string };

/**
 * The polymer of a key with its fibre and a user's overrides in the numbers. Fibre beyond 0–50 wt % and unknown keys
 * are named refusals. A fibre-filled row of the table (pa6_cf20) keeps its own share unless another is stated.
 */
export function findMaterial(
  key: string,
  fibreWtPercent = 0,
  overrides: MaterialOverrides = {},
): MaterialAnswer {
  const rowKey = Object.hasOwn(ALIASES, key) ? ALIASES[key]! : key;
  const row = Object.hasOwn(ROWS, rowKey) ? ROWS[rowKey] : undefined;
  if (!row) return { ok: false, reason: 'unknown-material', detail: `no material "${key}" in the table` };
  if (!(fibreWtPercent >= 0 && fibreWtPercent <= HIGHEST_FIBRE_WT_PERCENT))
    return { ok: false, reason: 'fibre-range', detail: `fibre must be 0–50 wt %, not ${fibreWtPercent}` };
  // The filled row is already scaled: stating its fibre again must not scale it twice.
  const extra = row.fibreMassFraction > 0 ? 0 : fibreWtPercent / 100;
  return { ok: true, material: assemble(key, row, extra, overrides) };
}

function assemble(key: string, row: Row, w: number, user: MaterialOverrides): Material {
  const fibre = scaleForFibre(w, row.densityKgPerM3.value);
  const scale = fibre.moisture * (user.isothermScale ?? 1);
  const isotherm = scaled(row.isotherm, scale);
  const limit = row.printingLimitWtPercent ?? row.resinGuideLimitWtPercent;
  // Fibre widens D: wicking along it can undo what its shadow slows (0.6 neat against 0.7 filled in the table).
  const sigma = Math.hypot(row.diffusivitySigmaLn.value, w > 0 ? 0.35 : 0);
  const material: Omit<Material, 'evidence'> = {
    key,
    name: w > 0 ? `${row.name} + ${Math.round(100 * w)} wt % fibre` : row.name,
    fibreMassFraction: w > 0 ? w : row.fibreMassFraction,
    densityKgPerM3: fibre.densityKgPerM3,
    specificHeatJPerKgK: row.specificHeatJPerKgK.value,
    isotherm,
    reduced: reduceIsotherm(isotherm),
    isothermScaleSigmaLn: user.isothermScaleSigmaLn ?? row.isothermScaleSigmaLn.value,
    curvatureSigma: row.curvatureSigma.value,
    netSorptionEnthalpyKJPerMol: row.netSorptionEnthalpyKJPerMol.value,
    diffusivityM2PerS: user.diffusivityM2PerS ?? row.diffusivityM2PerS.value * fibre.diffusivity,
    diffusivitySigmaLn: user.diffusivitySigmaLn ?? sigma,
    activationEnergyKJPerMol: row.activationEnergyKJPerMol.value,
    concentrationLaw: row.concentrationLaw,
    printingLimitWtPercent: user.printingLimitWtPercent ?? limit.value * fibre.moisture,
    resinGuideLimitWtPercent: row.resinGuideLimitWtPercent.value * fibre.moisture,
    usualDryingC: user.usualDryingC ?? row.usualDryingC.value,
    usualDryingHours: [row.usualDryingHours.low, row.usualDryingHours.high],
    highestDryingC: user.highestDryingC ?? row.highestDryingC.value,
    softening: row.softening,
    expansionPercentPerWtPercent: row.expansionPercentPerWtPercent && [
      row.expansionPercentPerWtPercent.low,
      row.expansionPercentPerWtPercent.high,
    ],
  };
  return { ...material, evidence: collectEvidence(row, material, user) };
}

function scaled(isotherm: Isotherm, factor: number): Isotherm {
  return isotherm.model === 'henry'
    ? { model: 'henry', slopeWtPercent: isotherm.slopeWtPercent * factor }
    : { model: 'gab', mmWtPercent: isotherm.mmWtPercent * factor, c: isotherm.c, k: isotherm.k };
}

/** Quantities shown to a user, in reading order: what, where it stands in the row, what it became, its override. */
function collectEvidence(row: Row, m: Omit<Material, 'evidence'>, user: MaterialOverrides): Evidence[] {
  const say = (
    quantity: string,
    value: number,
    cell: Cell | Row['isotherm'],
    overridden = false,
  ): Evidence =>
    overridden
      ? { quantity, value, unit: cell.unit, sources: ['user'], grade: 'user' }
      : { quantity, value, unit: cell.unit, sources: inWords(cell.source), grade: cell.grade };
  const limitCell = row.printingLimitWtPercent ?? row.resinGuideLimitWtPercent;
  const rows = [
    say('density', m.densityKgPerM3, row.densityKgPerM3),
    say('specific heat', m.specificHeatJPerKgK, row.specificHeatJPerKgK),
    say(
      'equilibrium moisture at 50 %RH',
      equilibriumWtPercent(m.isotherm, 0.5),
      row.isotherm,
      user.isothermScale !== undefined,
    ),
    say(
      'isotherm slope at low humidity',
      m.reduced.slopeWtPercent,
      row.isotherm,
      user.isothermScale !== undefined,
    ),
    say(
      'isotherm scale, spread',
      m.isothermScaleSigmaLn,
      row.isothermScaleSigmaLn,
      user.isothermScaleSigmaLn !== undefined,
    ),
    say('isotherm curvature, spread', m.curvatureSigma, row.curvatureSigma),
    say('net sorption enthalpy', m.netSorptionEnthalpyKJPerMol, row.netSorptionEnthalpyKJPerMol),
    say('diffusivity', m.diffusivityM2PerS, row.diffusivityM2PerS, user.diffusivityM2PerS !== undefined),
    say(
      'diffusivity, spread',
      m.diffusivitySigmaLn,
      row.diffusivitySigmaLn,
      user.diffusivitySigmaLn !== undefined,
    ),
    say('activation energy', m.activationEnergyKJPerMol, row.activationEnergyKJPerMol),
    say('printing limit', m.printingLimitWtPercent, limitCell, user.printingLimitWtPercent !== undefined),
    say('resin-guide limit', m.resinGuideLimitWtPercent, row.resinGuideLimitWtPercent),
    say('usual drying temperature', m.usualDryingC, row.usualDryingC, user.usualDryingC !== undefined),
    say(
      'highest drying temperature on the spool',
      m.highestDryingC,
      row.highestDryingC,
      user.highestDryingC !== undefined,
    ),
    ...(['low', 'high'] as const).flatMap((end) => {
      const cell = row.expansionPercentPerWtPercent;
      return cell ? [say(`moisture expansion, ${end} end`, cell[end], { ...cell, value: cell[end] })] : [];
    }),
  ];
  return rows;
}
