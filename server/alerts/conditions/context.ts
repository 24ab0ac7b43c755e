/** What every condition is handed beside its own facts. */
import type { Priority } from '../../records.ts';
import type { Facts } from '../facts.ts';
import type { Mark } from '../finding.ts';
import type { Say } from '../say.ts';

export interface Context {
  readonly facts: Facts;
  readonly say: Say;
  readonly nowMs: number;
  /** The rule's level and deadband at this place; 0 where it has none. */
  readonly level: number;
  readonly deadband: number;
  /** The alarm stands: to clear it the value must come back by the deadband. */
  readonly standing: boolean;
  /** What the condition remembered when it was first met. */
  readonly mark: Mark | null;
  /** Alarms standing here that cannot be judged now; for the one that says why. */
  readonly frozen: readonly { readonly title: string; readonly priority: Priority }[];
}
