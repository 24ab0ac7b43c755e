/** What every answer of the planner holds beside its own figures. */
import type { Quantiles, TimeQuantiles } from '../estimators/drying/quantiles.ts';
import type { Evidence, Material } from '../physics/materials.ts';
import type { PlanKind, PlanQuestion } from '../plan-fields.ts';
import type { Curve } from './curve.ts';

export type { Evidence, Quantiles, TimeQuantiles };

export interface PlanAnswer<K extends PlanKind> {
  readonly kind: K;
  /** With what was left out filled in. */
  readonly question: PlanQuestion<K>;
  readonly curve: Curve;
  /** For a person: what was taken for granted. */
  readonly assumptions: readonly string[];
  /** For a person: what is against doing it, or weakens the answer. */
  readonly notes: readonly string[];
  /** The constants that the figures rest on, each with source and grade. */
  readonly evidence: readonly Evidence[];
}

export interface Limit {
  readonly limitWtPercent: number;
  /** Where printing troubles begin (common practice), or the asker's own. */
  readonly limitKind: 'printing' | 'own';
}
export const limitOf = (material: Material, own: number | null): Limit =>
  own === null
    ? { limitWtPercent: material.printingLimitWtPercent, limitKind: 'printing' }
    : { limitWtPercent: own, limitKind: 'own' };

/** Of a spool that was dried well, where nobody says how well. */
export const startOf = (stated: number | null, limitWtPercent: number): number =>
  stated ?? 0.5 * limitWtPercent;

/** Those rows of a material's evidence that a question rests on, in the table's order. */
export const evidenceOf = (material: Material, quantities: readonly string[]): Evidence[] =>
  material.evidence.filter((row) => quantities.includes(row.quantity));
