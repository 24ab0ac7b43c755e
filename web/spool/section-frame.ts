/** What the section is given, and where its parts lie, px: its axis is the centre of the spool, its upright the plate's moisture axis. */
import type { Drying, SpoolState } from '../../server/api/messages.ts';
import type { Format } from '../format.ts';
import type { LaneScale } from '../ruler/scale.ts';
import type { Winding } from './winding.ts';

export interface SectionProps {
  readonly spool: SpoolState & { readonly drying: Drying };
  /** When its station was last heard, where it is quiet or the page is cut off: then nothing is claimed. */
  readonly unknownSinceMs: number | null;
  readonly nowMs: number;
  readonly scale: LaneScale;
  readonly widthPx: number;
  /** It stands under the plate, not beside it, and needs an axis of its own. */
  readonly stacked: boolean;
  readonly format: Format;
}

export interface SectionFrame {
  readonly winding: Winding;
  readonly centreX: number;
  readonly centreY: number;
  readonly pxPerMm: number;
  readonly widthPx: number;
  x(radiusMm: number): number;
  y(wtPercent: number): number;
  readonly topPx: number;
  readonly bottomPx: number;
}
